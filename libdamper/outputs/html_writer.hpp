// SPDX-License-Identifier: MIT
#pragma once

#include <fmt/format.h>
#include <iterator>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace damper {

/// Appends formatted text. Values are not escaped: pass html_escape(…) for what a file said.
template <typename... T>
void put(std::string& out, fmt::format_string<T...> format, T&&... values) {
    fmt::format_to(std::back_inserter(out), format, std::forward<T>(values)...);
}

/// A section of the page with its heading, which must be plain text of our own.
[[nodiscard]] std::string html_section(std::string_view id, std::string_view heading,
                                       std::string_view body);

/// Texts as a list of points, escaped; nothing for no text.
[[nodiscard]] std::string html_list(const std::vector<std::string>& texts);

/// One column of a table.
struct Column {
    std::string heading;   ///< Plain text, escaped by the writer.
    bool numeric = false;  ///< Set to the right, figures below each other.
};

/// A table with column headings and a row heading in the first column, in a frame that scrolls
/// sideways where the page is narrow. Cells are HTML: escape what a file said.
/// Rows shorter than the headings are filled up with empty cells.
[[nodiscard]] std::string html_table(std::string_view caption, const std::vector<Column>& columns,
                                     const std::vector<std::vector<std::string>>& rows);

}  // namespace damper
