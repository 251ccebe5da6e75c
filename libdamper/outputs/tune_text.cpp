// SPDX-License-Identifier: MIT
#include "libdamper/outputs/tune_text.hpp"

#include "libdamper/outputs/text_layout.hpp"
#include "libdamper/outputs/tune_rows.hpp"

#include <fmt/format.h>

namespace damper {

namespace {

constexpr std::size_t width = 100;
constexpr std::size_t most_of_front = 9;

/// The front without the keys, which would make it too wide.
std::string front_text(const TuneRecord& record) {
    const FigureTable table = tune_front_table(record, most_of_front);
    std::vector<TextColumn> columns;
    for (std::size_t c = 0; c < 3; ++c) columns.push_back({table.headings[c], false, 44});
    std::vector<std::vector<std::string>> rows;
    for (const auto& row : table.rows) rows.push_back({row[0], row[1], row[2]});
    return fmt::format("\n{}{}", wrapped(table.caption, width), text_table(columns, rows));
}

std::string words_text(const FigureTable& table) {
    std::vector<TextColumn> columns;
    for (const std::string& heading : table.headings) columns.push_back({heading, false, 58});
    return fmt::format("\n{}\n{}", table.caption, text_table(columns, table.rows));
}

}  // namespace

std::string tune_text(const TuneRecord& record) {
    std::string out = wrapped(tune_headline(record), width);
    for (const std::string& note : tune_notes(record)) out += wrapped(note, width, "  - ");
    out += figure_text(tune_key_table(record));
    out += words_text(tune_case_table(record));
    out += figure_text(tune_limit_table(record));
    if (record.front.size() > 1) out += front_text(record);
    out += fmt::format("\n{}", wrapped(tune_search_words(record), width));
    return out;
}

}  // namespace damper
