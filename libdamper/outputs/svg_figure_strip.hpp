// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace damper {

/// One figure of several groups of vehicles on one scale, and what was measured.
struct FigureStrip {
    struct Row {
        std::string name;
        double low = 0.0, middle = 0.0, high = 0.0;
    };
    std::string title, units, meaning;
    std::vector<Row> rows;
    std::optional<double> seen;
    double error = 0.0;  ///< Standard deviation of what was seen.
    std::string from;
};

/// The strip as a figure of the page with the same numbers in words below it.
[[nodiscard]] std::string figure_strip(const FigureStrip& strip);

}  // namespace damper
