// SPDX-License-Identifier: MIT
#include "libdamper/describe/table_text.hpp"

#include "libdamper/quantity/read_unit_text.hpp"

namespace damper {

namespace {
constexpr std::string_view blanks = " \t\v\f";
}

std::string_view without_blanks(std::string_view text) {
    const std::size_t begin = text.find_first_not_of(blanks);
    if (begin == std::string_view::npos) return {};
    return text.substr(begin, text.find_last_not_of(blanks) - begin + 1);
}

std::vector<TableLine> table_lines(std::string_view text) {
    std::vector<TableLine> lines;
    int number = 0;
    while (!text.empty()) {
        const std::size_t end = text.find('\n');
        std::string_view line = text.substr(0, end);
        text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
        ++number;
        if (line.ends_with('\r')) line.remove_suffix(1);
        const std::string_view ink = without_blanks(line);
        if (ink.empty() || ink[0] == '#' || ink[0] == '%') continue;
        lines.push_back({line, number});
    }
    return lines;
}

std::optional<std::vector<TableCell>> table_cells(std::string_view line, char separator) {
    std::vector<TableCell> cells;
    std::size_t begin = 0, counted = 0;
    int column = 1;  // of `counted`; counting anew for each cell would take the square of the line
    while (true) {
        // A tab is a blank as well, unless it separates.
        std::size_t ink = begin;
        while (ink < line.size() && line[ink] != separator &&
               blanks.find(line[ink]) != std::string_view::npos) {
            ++ink;
        }
        const bool quoted = ink < line.size() && line[ink] == '"';
        std::size_t end = std::min(line.find(separator, begin), line.size());
        std::string_view text = without_blanks(line.substr(begin, end - begin));
        if (quoted) {
            std::size_t close = ink + 1;
            while (true) {
                close = line.find('"', close);
                if (close == std::string_view::npos) return std::nullopt;
                if (close + 1 >= line.size() || line[close + 1] != '"') break;
                close += 2;
            }
            end = std::min(line.find(separator, close), line.size());
            if (!without_blanks(line.substr(close + 1, end - close - 1)).empty()) {
                return std::nullopt;
            }
            text = without_blanks(line.substr(ink + 1, close - ink - 1));
        }
        column += column_of(line.substr(counted), ink - counted) - 1;
        counted = ink;
        cells.push_back({text, column});
        if (end >= line.size()) return cells;
        begin = end + 1;
    }
}

int count_outside_quotes(std::string_view line, char separator) {
    int count = 0;
    bool quoted = false;
    for (const char c : line) {
        if (c == '"') quoted = !quoted;
        if (c == separator && !quoted) ++count;
    }
    return count;
}

std::string separator_word(char separator) {
    if (separator == '\t') return "tab";
    return separator == ';' ? "semicolon" : "comma";
}

}  // namespace damper
