// SPDX-License-Identifier: MIT
#include "libdamper/outputs/match_text.hpp"

#include "libdamper/outputs/match_words.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/text_layout.hpp"

#include <cmath>
#include <fmt/format.h>

namespace damper {

namespace {

constexpr std::size_t width = 100;

std::string list(const char* heading, const std::vector<std::string>& texts) {
    if (texts.empty()) return "";
    std::string out = fmt::format("\n{}\n", heading);
    for (const std::string& text : texts) out += wrapped(text, width, "  - ");
    return out;
}

std::string values(const MatchRecord& record) {
    std::vector<std::vector<std::string>> rows;
    for (const MatchValue& one : record.values) {
        rows.push_back({one.name, match_number(one, one.value), match_interval(record, one),
                        fmt::format("{} to {}", match_number(one, one.range_low),
                                    match_number(one, one.range_high))});
    }
    return text_table({{.heading = "Free", .most = 48},
                       {.heading = "Best", .numeric = true},
                       {.heading = "95 %", .most = 48},
                       {.heading = "Range", .most = 48}},
                      rows);
}

std::string figures(const MatchRecord& record) {
    std::vector<std::vector<std::string>> rows;
    for (const MatchFigure& one : record.figures) {
        if (!one.seen) continue;
        const Shown shown = shown_as(one.units, std::abs(*one.seen));
        rows.push_back({one.name, table_number(shown.of(*one.seen)),
                        table_number(std::abs(shown.factor) * one.error),
                        table_number(std::abs(shown.factor) * one.scatter),
                        table_number(shown.of(one.described)), table_number(shown.of(one.matched)),
                        fmt::format("{:+.1f}", one.off), shown.units});
    }
    return "\nMeasured, and what the run gives\n" +
           text_table({{.heading = "Figure"},
                       {.heading = "Measured", .numeric = true},
                       {.heading = "Error", .numeric = true},
                       {.heading = "Scatter", .numeric = true},
                       {.heading = "As described", .numeric = true},
                       {.heading = "Best", .numeric = true},
                       {.heading = "Off [errors]", .numeric = true},
                       {.heading = "Unit"}},
                      rows);
}

/// A text of our own or of a user as a TOML string.
std::string quoted(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') out += '\\';
        out += c;
    }
    return out + "\"";
}

}  // namespace

std::string match_text(const MatchRecord& record) {
    std::string out = wrapped(fmt::format("{}: {}", record.identity.title, record.run), width);
    out += wrapped(record.identity.vehicle, width, "  ");
    out += fmt::format("\n{}\n{}", wrapped(match_headline(record), width), values(record));
    out += list("Not told", match_ties(record));
    out += list("What would tell more", match_further(record));
    out += figures(record);
    out += list("On the data", record.notes);
    out += list("Mind", match_cautions(record));
    return out + fmt::format("\n{} runs, chi-square as described {:.3g}.\n", record.evaluations,
                             record.chi_square_described);
}

std::string match_toml(const MatchRecord& record) {
    std::string out = "# By damper match, " + record.run + "; 95 % intervals.\n";
    if (!record.complete) out += "# Stopped on the way: the best values so far.\n";
    if (record.complete && !record.explained()) {
        out += "# No vehicle in the ranges shows the figures: the nearest one.\n";
    }
    for (const MatchValue& one : record.values) {
        out += fmt::format("#   {}: {}\n", one.name, match_interval(record, one));
    }
    out += "[change]\n";
    for (const auto& [key, value] : record.changes) {
        const bool is_list = value.starts_with('[');
        out += fmt::format("{} = {}\n", quoted(key), is_list ? value : quoted(value));
    }
    return out;
}

}  // namespace damper
