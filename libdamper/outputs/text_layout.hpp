// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// Text broken at spaces into lines of at most `width` columns; a word that is longer is cut.
/// The first line starts with `first`, the others with as many spaces. Made visible first.
[[nodiscard]] std::string wrapped(std::string_view text, std::size_t width,
                                  std::string_view first = "");

/// One column of a table of text.
struct TextColumn {
    std::string heading;
    bool numeric = false;   ///< Set to the right.
    std::size_t most = 40;  ///< Columns that a cell may take; longer cells are cut with "…".
};

/// A table without frames, two spaces between columns. Cells are made visible first.
[[nodiscard]] std::string text_table(const std::vector<TextColumn>& columns,
                                     const std::vector<std::vector<std::string>>& rows);

}  // namespace damper
