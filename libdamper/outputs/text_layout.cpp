// SPDX-License-Identifier: MIT
#include "libdamper/outputs/text_layout.hpp"

#include "libdamper/outputs/utf8.hpp"
#include "libdamper/outputs/visible_text.hpp"

#include <algorithm>

namespace damper {
namespace {

/// The longest start of a text that fits, in whole characters; at least one character.
std::string_view fitting(std::string_view text, std::size_t width) {
    std::size_t used = 0;
    std::size_t columns = 0;
    while (used < text.size()) {
        const std::size_t length = decode_utf8(text.substr(used)).length;
        columns += columns_of(text.substr(used, length));
        if (columns > width && used > 0) break;
        used += length;
    }
    return text.substr(0, used);
}

std::string cut(std::string_view text, std::size_t width) {
    if (columns_of(text) <= width) return std::string(text);
    return std::string(fitting(text, width - 1)) + "…";
}

void put_cell(std::string& line, std::string_view cell, std::size_t width, bool numeric) {
    const std::size_t columns = columns_of(cell);
    const std::string padding(width > columns ? width - columns : 0, ' ');
    if (numeric) line += padding;
    line += cell;
    if (!numeric) line += padding;
}

void put_line(std::string& out, std::string line) {
    while (!line.empty() && line.back() == ' ') line.pop_back();
    out += line;
    out.push_back('\n');
}

}  // namespace

std::string wrapped(std::string_view text, std::size_t width, std::string_view first) {
    const std::string visible = visible_text(text);
    const std::string indent(columns_of(first), ' ');
    const std::size_t room = width - indent.size();
    std::string out;
    std::string line(first);
    std::size_t used = 0;
    std::string_view rest = visible;
    while (!rest.empty()) {
        const std::size_t space = std::min(rest.find(' '), rest.size());
        std::string_view word = rest.substr(0, space);
        rest.remove_prefix(std::min(space + 1, rest.size()));
        while (!word.empty()) {
            if (used > 0 && used + 1 + columns_of(word) > room) {
                put_line(out, line);
                line = indent;
                used = 0;
            }
            const std::string_view piece = fitting(word, room);
            if (used > 0) {
                line.push_back(' ');
                ++used;
            }
            line += piece;
            used += columns_of(piece);
            word.remove_prefix(piece.size());
        }
    }
    put_line(out, line);
    return out;
}

std::string text_table(const std::vector<TextColumn>& columns,
                       const std::vector<std::vector<std::string>>& rows) {
    std::vector<std::vector<std::string>> cells(1);
    for (const auto& column : columns) cells[0].push_back(cut(column.heading, column.most));
    for (const auto& row : rows) {
        std::vector<std::string> line;
        for (std::size_t i = 0; i < columns.size(); ++i) {
            line.push_back(i < row.size() ? cut(visible_text(row[i]), columns[i].most) : "");
        }
        cells.push_back(std::move(line));
    }
    std::string out;
    for (const auto& row : cells) {
        std::string line;
        for (std::size_t i = 0; i < columns.size(); ++i) {
            std::size_t width = 0;
            for (const auto& other : cells) width = std::max(width, columns_of(other[i]));
            line += "  ";
            put_cell(line, row[i], width, columns[i].numeric);
        }
        put_line(out, line);
    }
    return out;
}

}  // namespace damper
