// SPDX-License-Identifier: MIT
#include "libdamper/outputs/diagnosis_parts_words.hpp"
#include "libdamper/outputs/diagnosis_text.hpp"
#include "libdamper/outputs/diagnosis_words.hpp"
#include "libdamper/outputs/grade_text.hpp"
#include "libdamper/outputs/html_diagnosis_sheet.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_page.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/repair_words.hpp"
#include "libdamper/outputs/svg_figure_strip.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

std::string graded(Grade grade) {
    return fmt::format("{}&nbsp;{}", grade_shape(grade), grade_key(grade));
}

std::string bar(double share) {
    // A share as a bar; the number beside it says the same.
    return fmt::format(
        R"(<svg class="share" width="104" height="12" aria-hidden="true"><rect class="all" x="1" y="1" width="102" height="10"/><rect class="part" x="2" y="2" width="{:.1f}" height="8"/></svg>)",
        100.0 * std::clamp(share, 0.0, 1.0));
}

std::string ranking(const DiagnosisRecord& record, const char* heading) {
    std::string body;
    put(body, "<p><strong>{}</strong></p>", html_escape(diagnosis_headline(record)));
    std::vector<std::vector<std::string>> rows;
    for (std::size_t i = 0; i < causes_shown(record); ++i) {
        const DiagnosisCause& cause = record.causes[i];
        rows.push_back({html_escape(cause.title),
                        bar(cause.probability) + " " + probability_text(cause.probability),
                        probability_text(cause.prior), html_escape(cause.seat),
                        cause.is_simulated ? "yes" : "no, by answers alone"});
    }
    body += html_table("Causes, likeliest first",
                       {{.heading = "Cause"},
                        {.heading = "Probability"},
                        {.heading = "Before any evidence", .numeric = true},
                        {.heading = "Seat"},
                        {.heading = "Simulated"}},
                       rows);
    put(body, R"(<p class="reading">{} All parts of the clutch together: {}.</p>)",
        html_escape(diagnosis_estimate(record)), probability_text(record.clutch_probability));
    if (!record.truth.empty()) {
        put(body, R"(<p class="notice">Invented case; put in was: {}.</p>)",
            html_escape(record.truth));
    }
    return html_section("causes", heading, body);
}

std::string reasons(const DiagnosisRecord& record) {
    std::string body;
    for (std::size_t i = 0; i < causes_told(record, 4); ++i) {
        const DiagnosisCause& cause = record.causes[i];
        put(body, "<h3>{}. {} ({})</h3>", i + 1, html_escape(cause.title),
            probability_text(cause.probability));
        const std::vector<std::string> pro = evidence_for(record, cause),
                                       con = evidence_against(record, cause);
        if (!pro.empty()) body += "<p>For it</p>" + html_list(pro);
        if (!con.empty()) body += "<p>Against it</p>" + html_list(con);
        if (pro.empty() && con.empty()) body += "<p>Nothing known speaks for or against it.</p>";
        if (!cause.beware.empty()) put(body, "<p>Beware: {}</p>", html_escape(cause.beware));
    }
    return html_section("reasons", "Why", body);
}

/// With a capital and a full stop.
std::string sentence(const std::string& text) {
    return capital(text) + (text.ends_with('.') ? "" : ".");
}

std::string strip_of(const DiagnosisRecord& record, std::size_t f) {
    const DiagnosisFigure& figure = record.figures[f];
    const Shown shown = shown_as(figure.units, std::abs(figure.healthy_high));
    FigureStrip strip;
    strip.title = capital(words_of(figure.name));
    strip.units = shown.units;
    strip.meaning = fmt::format("{} In complaints: {}.", sentence(figure.definition), figure.name);
    strip.rows.push_back({"Sound vehicles", shown.of(figure.healthy_low), shown.of(figure.healthy),
                          shown.of(figure.healthy_high)});
    for (std::size_t c = 0; c < std::min<std::size_t>(4, record.causes.size()); ++c) {
        const DiagnosisCause& cause = record.causes[c];
        if (!cause.is_simulated) continue;
        strip.rows.push_back({cause.title, shown.of(cause.low[f]), shown.of(cause.middle[f]),
                              shown.of(cause.high[f])});
    }
    if (figure.seen) {
        strip.seen = shown.of(*figure.seen);
        strip.error = std::abs(shown.factor) * figure.error;
        strip.from = figure.from;
    }
    return figure_strip(strip);
}

std::string figures(const DiagnosisRecord& record) {
    std::string seen, others;
    for (std::size_t f = 0; f < record.figures.size(); ++f) {
        (record.figures[f].seen ? seen : others) += strip_of(record, f);
    }
    if (seen.empty() && others.empty()) return "";
    std::string intro;
    put(intro,
        "<p>What {} simulated vehicles show with each cause in {}: the bar holds 95 % of them, the "
        "mark is their middle. The line across is what was measured, the zone about it twice the "
        "error of measurement. What was measured comes first.</p>",
        record.vehicles, html_escape(record.run));
    return html_section("figures", "Measured against simulated",
                        intro + R"(<div class="strips">)" + seen + others + "</div>");
}

std::string test_table(const DiagnosisRecord& record, bool gearbox_off) {
    std::vector<std::vector<std::string>> rows;
    for (const DiagnosisTest* test : next_tests(record, gearbox_off, 6)) {
        std::string what = html_escape(test->asks);
        if (!test->how.empty())
            put(what, R"(<span class="small">{}</span>)", html_escape(test->how));
        if (!test->steps.empty())
            put(what, R"(<div class="small">{}</div>)", html_list(test->steps));
        if (!test->caution.empty()) {
            put(what, R"(<span class="small"><strong>Mind:</strong> {}</span>)",
                html_escape(test->caution));
        }
        const std::vector<std::string> lines = figure_lines(record, *test);
        if (!lines.empty()) put(what, R"(<div class="small">{}</div>)", html_list(lines));
        rows.push_back({what, html_escape(test->kind), fmt::format("{:.0f}", test->minutes),
                        capital(settles_words(share_settled(record, *test))),
                        html_list(outcome_words(*test))});
    }
    if (rows.empty()) return "";
    return html_table(gearbox_off ? "With the gearbox off; its removal is counted in each"
                                  : "Open questions, most information for their time first",
                      {{.heading = "What"},
                       {.heading = "Kind"},
                       {.heading = "Minutes", .numeric = true},
                       {.heading = "What it should bring"},
                       {.heading = "What would follow"}},
                      rows);
}

std::string tests(const DiagnosisRecord& record, const char* id, const char* heading) {
    std::string body = test_table(record, false) + test_table(record, true);
    const std::vector<std::string> checks = before_assembly(record);
    if (!checks.empty()) {
        body += "<p>" + before_assembly_heading(record) + "</p>" + html_list(checks);
    }
    return body.empty() ? "" : html_section(id, heading, body);
}

std::string ruled(const DiagnosisRecord& record) {
    std::vector<std::vector<std::string>> rows;
    for (const RuledOut& one : ruled_out(record)) {
        rows.push_back({html_escape(one.cause->title), probability_text(one.cause->prior),
                        probability_text(one.cause->probability), html_list(one.by)});
    }
    if (rows.empty()) return "";
    return html_section("ruled", "Ruled out, and by what",
                        html_table("3 % or more before any evidence, below 1 % now",
                                   {{.heading = "Cause"},
                                    {.heading = "Before any evidence", .numeric = true},
                                    {.heading = "Now", .numeric = true},
                                    {.heading = "By what"}},
                                   rows));
}

std::string options(const DiagnosisRecord& record) {
    if (record.options.empty()) return "";
    std::string body = html_list(disc_words(record));
    if (record.options.size() > 1) {
        const bool has_cause = std::ranges::any_of(
            record.options, [](const auto& one) { return one.with_cause.has_value(); });
        std::vector<Column> columns{{.heading = "Disc"}, {.heading = "In the run"}};
        if (has_cause) columns.push_back({.heading = "There with the cause"});
        columns.insert(columns.end(), {{.heading = "In all runs"},
                                       {.heading = "Better than the fitted one"},
                                       {.heading = "Worse"}});
        std::vector<std::vector<std::string>> rows;
        for (const DiagnosisOption& one : record.options) {
            std::vector<std::string> row{html_escape(one.disc) + (one.fitted ? " (fitted)" : ""),
                                         graded(one.in_run)};
            if (has_cause) row.push_back(one.with_cause ? graded(*one.with_cause) : "–");
            row.insert(row.end(), {graded(one.grade), html_list(one.better), html_list(one.worse)});
            rows.push_back(std::move(row));
        }
        const std::string table =
            html_table("Discs of the class, best in " + record.disc_run + " first", columns, rows);
        body += disc_matters(record)
                    ? table
                    : "<details><summary>All discs of the class</summary>" + table + "</details>";
    }
    return html_section("discs", "Does the disc suit, and would another?", body);
}

std::string known(const DiagnosisRecord& record) {
    std::string body;
    if (!record.mileage.empty()) put(body, "<p>Mileage: {}</p>", html_escape(record.mileage));
    if (!record.notes.empty()) put(body, "<p>{}</p>", html_escape(record.notes));
    std::vector<std::vector<std::string>> rows;
    for (const DiagnosisAnswer& one : record.answers) {
        rows.push_back({html_escape(one.asks), html_escape(one.says)});
    }
    if (!rows.empty()) {
        body += html_table("Answers", {{.heading = "Question"}, {.heading = "Answer"}}, rows);
    }
    if (!record.left_out.empty()) body += "<p>Left out</p>" + html_list(record.left_out);
    if (!record.notes_on_data.empty())
        body += "<p>On the data</p>" + html_list(record.notes_on_data);
    put(body, "<p>damper {}; <code>{}</code></p>", html_escape(record.identity.program_version),
        html_escape(record.identity.command_line));
    return html_section("known", "What it rests on", body);
}

}  // namespace

std::string html_diagnosis(const DiagnosisRecord& record,
                           const std::optional<RepairRecord>& repair) {
    RunIdentity identity = record.identity;
    identity.title = record.title;
    identity.manoeuvre.clear();  // a diagnosis is none
    std::string out = page_head(identity.title);
    out += "<body><main>\n" + page_banner(identity) + scripts_off_notice();
    if (repair) {
        out += html_repair(*repair, record) +
               tests(repair->state, "tests_since", "Find out next, since the repair");
    }
    out += ranking(record, repair ? "What was likely before the repair" : "What is likely") +
           reasons(record) + ruled(record) + figures(record) +
           tests(record, "tests", "Find out next") + options(record) +
           diagnosis_sheet(record, repair) + known(record);
    return out + page_end();
}

}  // namespace damper
