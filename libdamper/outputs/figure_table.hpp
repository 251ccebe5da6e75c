// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

namespace damper {

/// A table of figures as text in a workshop's units, for terminal and page alike. The first column
/// names the row, those called "Unit" or "How" hold words; all others are figures.
struct FigureTable {
    std::string caption;
    std::vector<std::string> headings;
    std::vector<std::vector<std::string>> rows;

    [[nodiscard]] bool is_figure(std::size_t column) const {
        return column > 0 && headings[column] != "Unit" && headings[column] != "How";
    }
};

/// For a terminal, with a blank line and the caption before it.
[[nodiscard]] std::string figure_text(const FigureTable& table);

}  // namespace damper
