// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/scenario/tolerances.hpp"

#include <string_view>

namespace damper {

/// How far a measure may lie from its baseline if nobody says otherwise: 0.5 % where the
/// motion repeats, more where rounding alone moves it. Those figures are conventions of this tool:
/// about twice what engine inertias that differ by 1e-8 made of the shipped scenarios. Whoever
/// wants to hold a scenario closer says so in tolerances.toml.
[[nodiscard]] Tolerance built_in_tolerance(MeasureKind kind, std::string_view measure);

/// The same for a signal, as a share of its range.
[[nodiscard]] Tolerance built_in_signal_tolerance(std::string_view signal);

}  // namespace damper
