// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/outputs/chart.hpp"

#include <string>

namespace damper {

/// Samples of a series above which the page carries smallest and largest values only.
inline constexpr std::size_t most_samples = 100'000;

/// The chart as a figure of the page: title, place for the live chart, its data in base 64, the
/// still picture for print, and the reading in words.
/// `shared_axis`: id of the element that already holds the same x of a time chart, or empty.
[[nodiscard]] std::string chart_figure(const Chart& chart, const std::string& shared_axis = "");

/// Id of the element that holds the x of a chart.
[[nodiscard]] std::string axis_id(const Chart& chart);

}  // namespace damper
