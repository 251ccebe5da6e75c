// SPDX-License-Identifier: MIT
#include "libdamper/outputs/figure_table.hpp"

#include "libdamper/outputs/text_layout.hpp"

#include <fmt/format.h>

namespace damper {

std::string figure_text(const FigureTable& table) {
    std::vector<TextColumn> columns;
    for (std::size_t i = 0; i < table.headings.size(); ++i) {
        columns.push_back({table.headings[i], table.is_figure(i), 50});
    }
    return fmt::format("\n{}\n{}", table.caption, text_table(columns, table.rows));
}

}  // namespace damper
