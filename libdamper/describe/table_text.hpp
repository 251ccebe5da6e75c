// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// One line of a text table that is neither blank nor a comment.
struct TableLine {
    std::string_view text;
    int number = 0;  ///< In the file, counted from 1.
};

/// One cell of a line, without the blanks and quotation marks around it.
struct TableCell {
    std::string_view text;
    int column = 1;  ///< Where it begins in the line, counted in characters from 1.
};

/// The lines of a text that hold something; a comment begins with # or %. Line ends are LF or CR
/// LF.
[[nodiscard]] std::vector<TableLine> table_lines(std::string_view text);

/// The line cut at every `separator` outside quotation marks (RFC 4180, 2005, section 2). Nothing
/// if a quotation mark is not closed, or something follows it before the next separator.
[[nodiscard]] std::optional<std::vector<TableCell>> table_cells(std::string_view line,
                                                                char separator);

/// How often `separator` stands outside quotation marks.
[[nodiscard]] int count_outside_quotes(std::string_view line, char separator);

/// A separator in words: "semicolon", "comma", "tab".
[[nodiscard]] std::string separator_word(char separator);

[[nodiscard]] std::string_view without_blanks(std::string_view text);

}  // namespace damper
