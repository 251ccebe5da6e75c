// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/fit_record.hpp"

#include <string>
#include <vector>

namespace damper {

/// "2 drive stiffness" or "stop stiffness".
[[nodiscard]] std::string figure_name(const FitFigure& figure);

/// Value in a workshop's unit, as far as its interval goes: "12.95", "≤ 0.4", "(20.6)" where open.
[[nodiscard]] std::string figure_value(const FitFigure& figure);

/// Half of the interval: "± 0.05"; empty where open.
[[nodiscard]] std::string figure_interval(const FitFigure& figure);

/// "N m/deg", "deg", "N m" or "".
[[nodiscard]] std::string figure_units(const FitFigure& figure);

/// Nominal, deviation, tolerance and standing in cells; empty strings where not compared.
[[nodiscard]] std::vector<std::string> figure_standing(const FitFigure& figure);

/// Whether a figure is worth a row: not play or preload of which the loops show no trace.
[[nodiscard]] bool worth_a_row(const FitFigure& figure);

/// The verdict in a sentence: "2 stages; outside tolerance: …".
[[nodiscard]] std::string fit_headline(const FitRecord& record);

/// What to mind at the bench.
[[nodiscard]] std::vector<std::string> bench_cautions();

}  // namespace damper
