// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_compare.hpp"

#include "libdamper/outputs/compare_text.hpp"
#include "libdamper/outputs/compare_words.hpp"
#include "libdamper/outputs/grade_text.hpp"
#include "libdamper/outputs/html_chart.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_page.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/verdict/reasons.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace damper {

namespace {

constexpr double degrees = 180.0 / std::numbers::pi;
constexpr double rpm = 30.0 / std::numbers::pi;
constexpr int tones = 4;
constexpr std::size_t most_curves = 12;  // four colours in three strokes

/// Colour and stroke together tell the options apart.
ChartSeries series_of(const CompareRecord& record, std::size_t option) {
    constexpr Stroke strokes[] = {Stroke::line, Stroke::dashed, Stroke::heavy};
    ChartSeries out;
    out.label = record.options[option].name;
    out.tone = 1 + static_cast<int>(option) % tones;
    out.stroke = strokes[(option / tones) % std::size(strokes)];
    return out;
}

std::string graded(const Judgement& one, const std::string& text) {
    return fmt::format("<span class=\"grade {}\">{}</span> {}", grade_key(one.grade),
                       grade_shape(one.grade), text);
}

std::string choice_section(const CompareRecord& record) {
    std::string body;
    const std::vector<std::string> words = choice_words(record);
    put(body, "<p><strong>{}</strong></p>", html_escape(words.front()));
    if (words.size() > 1) body += html_list({words.begin() + 1, words.end()});
    const std::vector<std::string> failures = failure_words(record);
    if (!failures.empty()) {
        body += "<p class=\"alert\">Not everything has a result:</p>" + html_list(failures);
    }
    return html_section("choice", "The choice", body);
}

std::string ranking_section(const CompareRecord& record) {
    std::vector<std::vector<std::string>> rows;
    for (const CompareRank& rank : record.ranking) {
        const CompareOption& option = record.options[rank.option];
        std::string trades;
        for (const std::string& trade : trade_words(record, rank)) {
            put(trades, "<p>{}</p>", html_escape(trade));
        }
        rows.push_back({html_escape(option.name) + (option.fitted ? " (fitted)" : ""),
                        fmt::format("<span class=\"grade {}\">{} {}</span>", grade_key(rank.grade),
                                    grade_shape(rank.grade), grade_word(rank.grade)),
                        fmt::format("{}", rank.missed), fmt::format("{}", rank.watched),
                        html_escape(standing_words(record, rank)), trades});
    }
    return html_section(
        "ranking", "Ranking",
        html_table("Best first: a limit missed is worse than any margin in hand, then the worst "
                   "margin counts, then the next worst",
                   {{.heading = "Disc"},
                    {.heading = "Worst grade"},
                    {.heading = "Limits missed", .numeric = true},
                    {.heading = "To watch", .numeric = true},
                    {.heading = "Standing"},
                    {.heading = "Against the fitted disc"}},
                   rows));
}

std::string matrix_section(const CompareRecord& record) {
    std::vector<Column> columns = {{.heading = "Disc"}};
    for (const CompareScenario& one : record.scenarios) columns.push_back({.heading = one.name});
    std::vector<std::vector<std::string>> rows;
    for (const CompareRank& rank : record.ranking) {
        std::vector<std::string> row = {html_escape(record.options[rank.option].name)};
        for (std::size_t s = 0; s < record.scenarios.size(); ++s) {
            std::size_t condition = 0;
            const Judgement* worst = worst_in(record, rank.option, s, &condition);
            if (worst == nullptr) {
                row.emplace_back("–");
                continue;
            }
            std::string text = fmt::format("{}<br>{}", margin_text(worst->margin),
                                           html_escape(key_text(worst->measure)));
            const std::string& name = record.conditions[condition].name;
            if (record.conditions.size() > 1) text += "<br>" + html_escape(name);
            row.push_back(graded(*worst, text));
        }
        rows.push_back(std::move(row));
    }
    return html_section("matrix", "Worst margins",
                        html_table("Disc by scenario: the measure nearest to its limit or furthest "
                                   "beyond it, over all conditions",
                                   columns, rows));
}

/// A pull or overrun under the first condition.
std::string course_of(const CompareRecord& record, std::size_t scenario) {
    Chart chart;
    chart.kind = Chart::Kind::path;
    chart.id = fmt::format("course-{}", scenario + 1);
    chart.title =
        fmt::format("Drive shafts at the firing order: {}", record.scenarios[scenario].name);
    chart.x_label = "Engine speed";
    chart.x_units = "rpm";
    chart.y_label = "Torque";
    chart.y_units = "N m";
    for (std::size_t o = 0; o < std::min(most_curves, record.options.size()); ++o) {
        const SpeedCourse& course = record.at(o, scenario, 0).course;
        if (course.speed.empty()) continue;
        ChartSeries one = series_of(record, o);
        for (const double speed : course.speed) one.x.push_back(speed * rpm);
        one.y = course.drive_shaft_torque;
        chart.series.push_back(std::move(one));
    }
    if (chart.series.empty()) return "";
    chart.reading = fmt::format("Amplitude at order {}, what booms in the body.",
                                order_words(record.at(0, scenario, 0).course.order));
    return chart_figure(chart);
}

std::string courses_section(const CompareRecord& record) {
    std::string body;
    for (std::size_t s = 0; s < record.scenarios.size(); ++s) body += course_of(record, s);
    return body.empty() ? "" : html_section("courses", "Over engine speed", body);
}

std::string changes_text(const std::vector<std::pair<std::string, std::string>>& changes) {
    std::string out;
    for (const auto& [key, value] : changes) {
        out += fmt::format("{}{} = {}", out.empty() ? "" : ", ", key, value);
    }
    return out.empty() ? "as described" : out;
}

std::string asked_section(const CompareRecord& record) {
    std::vector<std::vector<std::string>> rows;
    for (const CompareOption& one : record.options) {
        rows.push_back({html_escape(one.name), "disc", html_escape(changes_text(one.changes))});
    }
    for (const CompareCondition& one : record.conditions) {
        rows.push_back({html_escape(one.name.empty() ? "as described" : one.name), "condition",
                        html_escape(changes_text(one.changes))});
    }
    for (const CompareScenario& one : record.scenarios) {
        rows.push_back(
            {html_escape(one.name), "scenario", html_escape(one.title + "; " + one.vehicle)});
    }
    std::string body =
        html_table("What was compared",
                   {{.heading = "Name"}, {.heading = "Kind"}, {.heading = "What it is"}}, rows);
    put(body, "<p>damper {}; <code>{}</code></p>", html_escape(record.identity.program_version),
        html_escape(record.identity.command_line));
    std::vector<std::vector<std::string>> files;
    for (const auto& [file, hash] : record.identity.inputs) {
        files.push_back({html_escape(file), fmt::format("<code>{}</code>", html_escape(hash))});
    }
    body += html_table("Files read of the scenarios as they stand",
                       {{.heading = "File"}, {.heading = "SHA-256"}}, files);
    return html_section("asked", "Where it comes from", body);
}

}  // namespace

std::string compare_measures_section(const CompareRecord& record) {
    std::vector<Column> columns = {{.heading = "Measure"},
                                   {.heading = "Scenario"},
                                   {.heading = "Good (bad)", .numeric = true},
                                   {.heading = "Unit"}};
    for (const CompareOption& one : record.options) {
        columns.push_back({.heading = one.name, .numeric = true});
    }
    std::vector<std::vector<std::string>> rows;
    for (const CompareRow& row : compare_rows(record)) {
        std::vector<std::string> cells = {html_escape(key_text(row.measure)),
                                          html_escape(record.scenarios[row.scenario].name),
                                          html_escape(row_limit(row)), row_units(row)};
        for (std::size_t o = 0; o < record.options.size(); ++o) {
            const std::string value = row_value(row, o);
            cells.push_back(row.worst[o] == nullptr ? value : graded(*row.worst[o], value));
        }
        rows.push_back(std::move(cells));
    }
    return html_section(
        "measures", "Measures with limits",
        html_table("The worst over the conditions. Limits are working bands of this tool unless a "
                   "run's own page names a source; the vehicle maker's figures come first",
                   columns, rows));
}

std::string compare_loops_section(const CompareRecord& record) {
    Chart chart;
    chart.kind = Chart::Kind::path;
    chart.id = "bench-loops";
    chart.title = "Bench loops over each other";
    chart.x_label = "Twist";
    chart.x_units = "°";
    chart.y_label = "Torque";
    chart.y_units = "N m";
    for (std::size_t o = 0; o < std::min(most_curves, record.options.size()); ++o) {
        const DiscLoop& loop = record.options[o].loop;
        if (loop.twist.empty()) continue;
        ChartSeries one = series_of(record, o);
        for (std::size_t i = 0; i < loop.twist.size(); ++i) {
            one.x.push_back(loop.twist[i] * degrees);
            one.y.push_back(loop.upward[i]);
        }
        for (std::size_t i = loop.twist.size(); i-- > 0;) {
            one.x.push_back(loop.twist[i] * degrees);
            one.y.push_back(loop.downward[i]);
        }
        chart.series.push_back(std::move(one));
    }
    if (chart.series.empty()) return "";
    chart.reading =
        "Each disc turned slowly from one stop to the other and back; the width of a loop is its "
        "friction. Positive torque drives the gearbox.";
    std::string body = chart_figure(chart);
    if (record.options.size() > most_curves) {
        put(body, "<p>The first {} discs are drawn.</p>", most_curves);
    }
    return html_section("loops", "The discs", body);
}

std::string html_compare(const CompareRecord& record) {
    RunIdentity identity = record.identity;
    identity.title = "Discs compared";
    identity.disc = fmt::format("discs: {}, scenarios: {}, conditions: {}", record.options.size(),
                                record.scenarios.size(), record.conditions.size());
    identity.conditions.clear();
    identity.changes.clear();
    std::string out = page_head(identity.title);
    out += "<body><main>\n" + page_banner(identity) + scripts_off_notice();
    out += choice_section(record) + ranking_section(record) + matrix_section(record) +
           compare_loops_section(record) + courses_section(record) +
           compare_measures_section(record);
    std::vector<std::string> cautions = cautions_for("idle");
    out += html_section("mind", "Mind", html_list(cautions));
    out += asked_section(record);
    return out + page_end();
}

}  // namespace damper
