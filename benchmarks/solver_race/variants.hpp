// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/scenario/scenario.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace damper::benchmarks {

/// The car idling for two seconds, of which the first half second is left out of the measures.
[[nodiscard]] Scenario study_base();

/// Variant `index` of a study: stiffness, friction and end angles of the idle stage and the drags
/// of the gearbox scattered about the base. The scatter is invented. Depends on `index` alone.
[[nodiscard]] Scenario variant(const Scenario& base, std::uint64_t index);

/// Every measure of one run, in the order of `measure_names`; what a run does not have is NaN.
/// The one place that knows how a study runs its variants. Signals live in it while it runs and
/// are gone when it returns.
[[nodiscard]] std::vector<double> measures_of(const Scenario& scenario, const std::string& solver,
                                              double tolerance,
                                              const std::vector<std::string>& measure_names);
[[nodiscard]] std::vector<std::string> measure_names(const Scenario& scenario);

}  // namespace damper::benchmarks
