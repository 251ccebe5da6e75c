// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/check_report.hpp"
#include "libdamper/scenario/tolerances.hpp"
#include "libdamper/verdict/verdict.hpp"

#include <span>
#include <string>
#include <vector>

namespace damper {

/// Bands of a scenario as values held against an interval.
[[nodiscard]] std::vector<CheckedValue> held_against_bands(std::span<const BandResult> bands);

/// Measures and signals of `now` held against those of `stored`. A measure that is gone, or a
/// signal at other times, is not kept; what is new is not looked at.
[[nodiscard]] std::vector<CheckedValue> held_against_baseline(const Baseline& stored,
                                                              const Baseline& now,
                                                              const Tolerances& tolerances);

/// What to know of a comparison: inputs or program that changed since, measures that are new.
[[nodiscard]] std::vector<std::string> differences_of_origin(const Baseline& stored,
                                                             const Baseline& now);

/// Sets the margin and whether it is kept, from value, low and high. A band that begins at zero
/// says "no more than": inside it the margin is that to the upper bound, as a share of it.
void set_margin(CheckedValue& value);

}  // namespace damper
