// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/outputs/chart.hpp"

#include <string>

namespace damper {

/// The chart as an SVG element that stands in an HTML page: what is printed, and what is seen
/// where scripts do not run. Dense curves are drawn as smallest and largest value per pixel
/// column, so that no peak is lost. Colours come from the page's style.
/// `close_up`: draw only the part that the chart names so.
[[nodiscard]] std::string svg_chart(const Chart& chart, bool close_up = false);

}  // namespace damper
