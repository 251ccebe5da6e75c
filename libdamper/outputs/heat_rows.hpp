// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/outputs/figure_table.hpp"
#include "libdamper/results/heat_record.hpp"

#include <string>

namespace damper {

/// One start on the level and one on the hill: a row a figure.
[[nodiscard]] FigureTable start_table(const HeatRecord& record);
/// The row of starts; of many the first ten and some of the others.
[[nodiscard]] FigureTable step_table(const HeatRecord& record);
/// "gear 1, engine held at 1500 rpm, a start every 60 s, air at 60 °C".
[[nodiscard]] std::string heat_words(const HeatRecord& record);
/// Where the heat of all starts went.
[[nodiscard]] std::string heat_balance_words(const HeatRecord& record);

}  // namespace damper
