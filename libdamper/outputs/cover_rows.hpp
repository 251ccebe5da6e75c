// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/outputs/figure_table.hpp"
#include "libdamper/results/cover_record.hpp"

#include <string>

namespace damper {

/// The clutch new, as it is and worn: a row a figure, a column a state.
[[nodiscard]] FigureTable state_table(const CoverRecord& record);
/// Clamp load and torque over wear, in some ten rows.
[[nodiscard]] FigureTable wear_table(const CoverRecord& record);
/// Load and lift over bearing travel, new against worn, in some ten rows.
[[nodiscard]] FigureTable travel_table(const CoverRecord& record);
[[nodiscard]] FigureTable temperature_table(const CoverRecord& record);
[[nodiscard]] FigureTable case_table(const CoverRecord& record);
/// A measured curve beside the computed one; long ones in some twenty rows.
[[nodiscard]] FigureTable comparison_table(const CoverComparison& comparison);
/// "clamp load of bench.csv: -3.2 % on average, largest +5.1 %"
[[nodiscard]] std::string comparison_words(const CoverComparison& comparison);
/// "pull type, one disc, lever ratio 4.15".
[[nodiscard]] std::string cover_words(const CoverRecord& record);

}  // namespace damper
