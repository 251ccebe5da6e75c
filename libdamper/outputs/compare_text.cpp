// SPDX-License-Identifier: MIT
#include "libdamper/outputs/compare_text.hpp"

#include "libdamper/outputs/compare_words.hpp"
#include "libdamper/outputs/grade_text.hpp"
#include "libdamper/outputs/text_layout.hpp"

#include <fmt/format.h>
#include <sstream>

namespace damper {

namespace {

constexpr std::size_t width = 100;

/// "!" behind what is bad, "?" behind what is to be watched.
std::string marked(const CompareRow& row, std::size_t option) {
    const Judgement* one = row.worst[option];
    const char* mark = one == nullptr || one->grade == Grade::good ? " "
                       : one->grade == Grade::watch                ? "?"
                                                                   : "!";
    return fmt::format("{}{}", row_value(row, option), mark);
}

std::string table(const CompareRecord& record) {
    std::vector<TextColumn> columns = {
        {"Scenario", false, 32}, {"Measure", false, 32}, {"Good (bad)", true}, {"Unit"}};
    for (std::size_t o = 0; o < record.options.size(); ++o) {
        columns.push_back({std::string(1, static_cast<char>('A' + o % 26)), true});
    }
    std::vector<std::vector<std::string>> rows;
    for (const CompareRow& row : compare_rows(record)) {
        std::vector<std::string> cells = {record.scenarios[row.scenario].name, row.measure,
                                          row_limit(row), row_units(row)};
        for (std::size_t o = 0; o < record.options.size(); ++o) cells.push_back(marked(row, o));
        rows.push_back(std::move(cells));
    }
    std::string out = text_table(columns, rows);
    out += record.conditions.size() > 1 ? "Worst over the conditions; ? to be watched, ! bad.\n"
                                        : "? to be watched, ! bad.\n";
    for (std::size_t o = 0; o < record.options.size(); ++o) {
        out += fmt::format("{}{} {}", o == 0 ? "" : ", ", static_cast<char>('A' + o % 26),
                           record.options[o].name);
    }
    out += '\n';
    return out;
}

}  // namespace

std::string compare_text(const CompareRecord& record) {
    std::string out;
    for (const std::string& sentence : choice_words(record)) out += wrapped(sentence, width);
    out += "\n";
    std::size_t place = 0;
    for (const CompareRank& rank : record.ranking) {
        const CompareOption& option = record.options[rank.option];
        out += wrapped(fmt::format("{}{}: {}.", option.name, option.fitted ? " (fitted)" : "",
                                   standing_words(record, rank)),
                       width, fmt::format("{:2}. ", ++place));
        for (const std::string& trade : trade_words(record, rank)) {
            out += wrapped(trade, width, "      ");
        }
    }
    out += '\n';
    out += table(record);
    const std::vector<std::string> failures = failure_words(record);
    for (const std::string& failure : failures) {
        std::istringstream in(failure);
        bool first = true;
        for (std::string line; std::getline(in, line); first = false) {
            out += wrapped(line, width, first ? "  - " : "    ");
        }
    }
    const auto counted = [](std::size_t count, const char* noun) {
        return fmt::format("{} {}{}", count, noun, count == 1 ? "" : "s");
    };
    out += fmt::format("{}, {}, {}: {}.\n", counted(record.options.size(), "disc"),
                       counted(record.scenarios.size(), "scenario"),
                       counted(record.conditions.size(), "condition"),
                       counted(record.variants.size(), "run"));
    return out;
}

}  // namespace damper
