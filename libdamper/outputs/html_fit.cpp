// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_fit.hpp"

#include "libdamper/outputs/fit_words.hpp"
#include "libdamper/outputs/html_chart.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_page.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace damper {

namespace {

constexpr double degree = std::numbers::pi / 180.0;

std::vector<double> in_degrees(std::vector<double> values) {
    for (double& value : values) value /= degree;
    return values;
}

Chart chart_of(std::string id, std::string title, const char* y_label) {
    Chart chart;
    chart.kind = Chart::Kind::path;
    chart.id = std::move(id);
    chart.title = std::move(title);
    chart.x_label = "Twist";
    chart.x_units = "°";
    chart.y_label = y_label;
    chart.y_units = "N m";
    return chart;
}

/// One way of a run along its rows, with the pen up between the loops.
ChartSeries way_of(const FitRun& run, bool rising, bool left_over) {
    const double up = std::numeric_limits<double>::quiet_NaN();
    ChartSeries out;
    bool pen_down = false;
    for (std::size_t i = 0; i < run.twist.size(); ++i) {
        if ((run.rising[i] != 0) != rising) {
            if (pen_down) {
                out.x.push_back(up);
                out.y.push_back(up);
            }
            pen_down = false;
            continue;
        }
        out.x.push_back(run.twist[i] / degree);
        out.y.push_back(left_over ? run.torque[i] - run.law[i] : run.torque[i]);
        pen_down = true;
    }
    out.label = rising ? "Measured, twist growing" : "Measured, twist falling";
    out.tone = rising ? 1 : 4;
    return out;
}

/// The part of a loop that a run has gone through.
void add_loop(Chart& chart, const DiscLoop& loop, const FitRun& run, const char* name, int tone,
              Stroke stroke) {
    const auto [low, high] = std::minmax_element(run.twist.begin(), run.twist.end());
    for (const bool rising : {true, false}) {
        ChartSeries series{.label = name, .stroke = stroke, .tone = tone, .x = {}, .y = {}};
        for (std::size_t i = 0; i < loop.twist.size(); ++i) {
            if (loop.twist[i] < *low || loop.twist[i] > *high) continue;
            series.x.push_back(loop.twist[i] / degree);
            series.y.push_back(rising ? loop.upward[i] : loop.downward[i]);
        }
        series.label = std::string(name) + (rising ? ", growing" : ", falling");
        chart.series.push_back(std::move(series));
    }
}

std::string loops_section(const FitRecord& record) {
    std::string body =
        "<p>Measured rows as means of neighbours, zero and drift of the torque sensor taken off; "
        "over "
        "them the fitted disc, and the nominal one where there is one. Positive torque drives the "
        "gearbox.</p>";
    for (std::size_t r = 0; r < record.runs.size(); ++r) {
        const FitRun& run = record.runs[r];
        if (run.twist.empty()) continue;
        Chart loop =
            chart_of(fmt::format("loop-{}", r + 1), "Torque over twist: " + run.name, "Torque");
        loop.series.push_back(way_of(run, true, false));
        loop.series.push_back(way_of(run, false, false));
        ChartSeries law{.label = "Fitted disc on this way",
                        .stroke = Stroke::dashed,
                        .tone = 2,
                        .x = in_degrees(run.twist),
                        .y = run.law};
        loop.series.push_back(std::move(law));
        if (!record.nominal.empty()) {
            add_loop(loop, record.nominal_loop, run, "Nominal", 3, Stroke::line);
        }
        loop.reading = fmt::format("{} loops, {} rows.", run.loops, run.samples);
        body += chart_figure(loop);
        Chart left =
            chart_of(fmt::format("left-{}", r + 1), "Measured less fitted: " + run.name, "Torque");
        left.series.push_back(way_of(run, true, true));
        left.series.push_back(way_of(run, false, true));
        left.reading = fmt::format(
            "What is left is {:.2f} times the noise of the means; 1 is what noise alone leaves.",
            run.misfit);
        body += chart_figure(left);
    }
    return html_section("loops", "The loops and the disc", body);
}

std::string figures_section(const FitRecord& record) {
    std::vector<Column> columns = {{.heading = "Stage, figure"},
                                   {.heading = "Value", .numeric = true},
                                   {.heading = "95 %", .numeric = true},
                                   {.heading = "Unit"}};
    const bool compared = !record.nominal.empty();
    if (compared) {
        for (const char* heading : {"Nominal", "Deviation", "Tolerance"}) {
            columns.push_back({.heading = heading, .numeric = true});
        }
        columns.push_back({.heading = "Standing"});
    }
    std::vector<std::vector<std::string>> rows;
    for (const FitFigure& figure : record.figures) {
        if (!worth_a_row(figure)) continue;
        auto& row = rows.emplace_back();
        row = {html_escape(figure_name(figure)), figure_value(figure), figure_interval(figure),
               figure_units(figure)};
        if (!compared) continue;
        std::vector<std::string> cells = figure_standing(figure);
        if (figure.standing == "outside") cells[3] = "<strong>outside</strong>";
        row.insert(row.end(), cells.begin(), cells.end());
    }
    std::string body = html_table("Figures of the disc, stages from the inside", columns, rows);
    body +=
        R"(<p class="reading">In brackets: not measured, but filled so that the file is complete. )"
        R"(≤: cannot be told from none.</p>)";
    return html_section("figures", "The disc", body);
}

std::string runs_section(const FitRecord& record) {
    std::vector<std::vector<std::string>> rows;
    for (const FitRun& run : record.runs) {
        rows.push_back({html_escape(run.name), fmt::format("{}", run.loops),
                        fmt::format("{}", run.samples), number_text(run.torque_noise),
                        number_text(run.twist_noise / degree), number_text(run.torque_zero),
                        number_text(run.drift), fmt::format("{:.2f}", run.misfit)});
    }
    return html_section("runs", "What the runs are worth",
                        html_table("Noise of a row, zero and drift of the torque sensor",
                                   {{.heading = "Run"},
                                    {.heading = "Loops", .numeric = true},
                                    {.heading = "Rows", .numeric = true},
                                    {.heading = "Noise in N m", .numeric = true},
                                    {.heading = "Noise in °", .numeric = true},
                                    {.heading = "Zero in N m", .numeric = true},
                                    {.heading = "Drift in N m", .numeric = true},
                                    {.heading = "Left over noise", .numeric = true}},
                                   rows));
}

std::string verdict(const FitRecord& record) {
    std::string body;
    put(body, "<p><strong>{}</strong></p>", html_escape(fit_headline(record)));
    if (!record.findings.empty()) body += html_list(record.findings);
    return html_section("verdict", "What the loop says", body);
}

std::string origin_section(const FitRecord& record) {
    std::string body;
    put(body, "<p>damper {}; <code>{}</code></p>", html_escape(record.identity.program_version),
        html_escape(record.identity.command_line));
    std::vector<std::vector<std::string>> rows;
    for (const auto& [file, hash] : record.identity.inputs) {
        rows.push_back({html_escape(file), fmt::format("<code>{}</code>", html_escape(hash))});
    }
    body += html_table("Files read", {{.heading = "File"}, {.heading = "SHA-256"}}, rows);
    return html_section("origin", "Where it comes from", body);
}

}  // namespace

std::string html_fit(const FitRecord& record) {
    RunIdentity identity = record.identity;
    identity.title = "Disc from a bench loop: " + identity.title;
    if (!record.nominal.empty()) identity.disc = "against " + record.nominal;
    std::string out = page_head(identity.title);
    out += "<body><main>\n" + page_banner(identity) + scripts_off_notice();
    out += verdict(record) + figures_section(record) + loops_section(record) + runs_section(record);
    if (!record.notes.empty()) out += html_section("open", "Left open", html_list(record.notes));
    out += html_section("mind", "Mind", html_list(bench_cautions()));
    out += origin_section(record);
    return out + page_end();
}

}  // namespace damper
