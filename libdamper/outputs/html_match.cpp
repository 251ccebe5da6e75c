// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_page.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/match_text.hpp"
#include "libdamper/outputs/match_words.hpp"
#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

std::string list(const std::vector<std::string>& texts) {
    if (texts.empty()) return "";
    std::string out = "<ul>";
    for (const std::string& text : texts) put(out, "<li>{}</li>", html_escape(text));
    return out + "</ul>";
}

/// The interval inside its range; the text beside it says the same.
std::string bar(const MatchValue& one) {
    const bool logarithmic =
        one.multiplies && one.range_low > 0.0 && one.range_high > 2.0 * one.range_low;
    const auto place = [&](double value) {
        const double share =
            logarithmic ? std::log(value / one.range_low) / std::log(one.range_high / one.range_low)
                        : (value - one.range_low) / (one.range_high - one.range_low);
        return 100.0 * std::clamp(share, 0.0, 1.0);
    };
    const double low = place(one.low), high = place(one.high);
    return fmt::format(
        R"(<svg class="share" width="104" height="12" aria-hidden="true"><rect class="all" x="1" y="1" width="102" height="10"/><rect class="part" x="{:.1f}" y="2" width="{:.1f}" height="8"/></svg>)",
        2.0 + low, std::max(high - low, 1.0));
}

std::string values(const MatchRecord& record) {
    std::vector<std::vector<std::string>> rows;
    for (const MatchValue& one : record.values) {
        rows.push_back({html_escape(one.name), html_escape(match_number(one, one.value)),
                        html_escape(match_interval(record, one)),
                        (record.complete ? bar(one) + " " : std::string()) +
                            html_escape(match_number(one, one.range_low) + " to " +
                                        match_number(one, one.range_high))});
    }
    std::string body;
    put(body, "<p><strong>{}</strong></p>", html_escape(match_headline(record)));
    body += html_table("Free values",
                       {{.heading = "Key"},
                        {.heading = "Best", .numeric = true},
                        {.heading = "95 %"},
                        {.heading = "In its range"}},
                       rows);
    const std::vector<std::string> ties = match_ties(record), further = match_further(record);
    if (!ties.empty()) body += "<p>Not told</p>" + list(ties);
    if (!further.empty()) body += "<p>What would tell more</p>" + list(further);
    return html_section("values", "What the figures tell", body);
}

std::string figures(const MatchRecord& record) {
    std::vector<std::vector<std::string>> rows;
    for (const MatchFigure& one : record.figures) {
        if (!one.seen) continue;
        const Shown shown = shown_as(one.units, std::abs(*one.seen));
        rows.push_back(
            {html_escape(key_text(one.name)) +
                 fmt::format(R"(<span class="small">{}</span>)", html_escape(one.definition)),
             number_text(shown.of(*one.seen)), number_text(std::abs(shown.factor) * one.error),
             number_text(std::abs(shown.factor) * one.scatter),
             number_text(shown.of(one.described)), number_text(shown.of(one.matched)),
             fmt::format("{:+.1f}", one.off), html_escape(shown.units), html_escape(one.from)});
    }
    return html_section("figures", "Measured against the run",
                        html_table("Figures that were measured",
                                   {{.heading = "Figure"},
                                    {.heading = "Measured", .numeric = true},
                                    {.heading = "Its error", .numeric = true},
                                    {.heading = "Scatter of the run", .numeric = true},
                                    {.heading = "As described", .numeric = true},
                                    {.heading = "Best", .numeric = true},
                                    {.heading = "Off, in errors", .numeric = true},
                                    {.heading = "Unit"},
                                    {.heading = "From"}},
                                   rows));
}

std::string basis(const MatchRecord& record) {
    std::string body = list(match_cautions(record));
    if (!record.notes.empty()) body += "<p>On the data</p>" + list(record.notes);
    put(body, "<p>To run it: <code>{}{}</code></p>", html_escape(record.run),
        html_escape(match_settings(record)));
    put(body, "<p>{} runs. damper {}; <code>{}</code></p>", record.evaluations,
        html_escape(record.identity.program_version), html_escape(record.identity.command_line));
    return html_section("basis", "What it rests on", body);
}

}  // namespace

std::string html_match(const MatchRecord& record) {
    std::string out = page_head(record.identity.title);
    out += "<body><main>\n" + page_banner(record.identity) + scripts_off_notice();
    return out + values(record) + figures(record) + basis(record) + page_end();
}

}  // namespace damper
