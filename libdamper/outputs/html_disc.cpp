// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_chart.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_run.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace damper {
namespace {

constexpr double degrees = 180.0 / std::numbers::pi;

std::vector<double> in_degrees(std::vector<double> values) {
    for (double& value : values) value *= degrees;
    return values;
}

/// One spring of stages on the page: the disc's damper, a two-mass flywheel.
struct ShownLoop {
    const DiscLoop& loop;
    const char* name;  ///< "disc"
    const char* id;
    const char* twist;  ///< Signals.
    const char* torque;
};

/// What it did in the time that is measured, on top of its loop.
void add_travelled(Chart& chart, const RunRecord& record, const ShownLoop& shown) {
    const auto twist = record.signals.from(shown.twist, record.measured_from);
    const auto torque = record.signals.from(shown.torque, record.measured_from);
    chart.series.push_back({.label = "Travelled in this run",
                            .stroke = Stroke::heavy,
                            .tone = 2,
                            .x = in_degrees({twist.begin(), twist.end()}),
                            .y = {torque.begin(), torque.end()}});
    const auto x = spread_of(record, shown.twist);
    const auto y = spread_of(record, shown.torque);
    if (!x || !y) return;
    const double x_margin = 0.25 * std::max(x->high - x->low, 1e-4) * degrees;
    const double y_margin = 0.25 * std::max(y->high - y->low, 1e-2);
    chart.close_up = {x->low * degrees - x_margin, x->high * degrees + x_margin, y->low - y_margin,
                      y->high + y_margin};
    chart.reading += fmt::format(
        "In this run the {} twists from {} to {}° and carries {} to {} "
        "N m. ",
        shown.name, number_text(x->low * degrees), number_text(x->high * degrees),
        number_text(y->low), number_text(y->high));
}

Chart loop_chart(const RunRecord& record, const ShownLoop& shown) {
    Chart chart;
    chart.kind = Chart::Kind::path;
    chart.id = shown.id;
    chart.title = fmt::format("Torque over twist of the {}", shown.name);
    chart.x_label = "Twist";
    chart.x_units = "°";
    chart.y_label = "Torque";
    chart.y_units = "N m";
    const DiscLoop& loop = shown.loop;
    if (!loop.twist.empty()) {
        const auto twist = in_degrees(loop.twist);
        chart.series.push_back({.label = "Twist growing",
                                .stroke = Stroke::line,
                                .tone = 1,
                                .x = twist,
                                .y = loop.upward});
        chart.series.push_back({.label = "Twist falling",
                                .stroke = Stroke::dashed,
                                .tone = 1,
                                .x = twist,
                                .y = loop.downward});
        chart.reading = fmt::format("The loop runs from {} to {}°. ", number_text(twist.front()),
                                    number_text(twist.back()));
    }
    for (const auto& corner : loop.corners) {
        chart.marks.push_back(
            {.label = corner.name, .x = corner.twist * degrees, .y = corner.torque});
    }
    if (record.signals.has(shown.twist) && record.signals.has(shown.torque)) {
        add_travelled(chart, record, shown);
    }
    return chart;
}

std::string corner_table(const RunRecord& record, const ShownLoop& shown) {
    if (shown.loop.corners.empty()) return "";
    const auto travelled = spread_of(record, shown.twist);
    std::vector<std::vector<std::string>> rows;
    for (const auto& corner : shown.loop.corners) {
        const bool passed =
            travelled && corner.twist >= travelled->low && corner.twist <= travelled->high;
        rows.push_back({html_escape(corner.name), number_text(corner.twist * degrees),
                        number_text(corner.torque), passed ? "<strong>yes</strong>" : "no"});
    }
    return html_table(
        "Corners of the loop",
        {{"Corner"}, {"Twist in °", true}, {"Torque in N m", true}, {"Passed in this run"}}, rows);
}

/// Beside the disc's: the arc springs, with the friction that they have at the speed of the run.
std::string flywheel_part(const RunRecord& record) {
    if (record.flywheel_loop.twist.empty()) return "";
    const ShownLoop shown{record.flywheel_loop, "two-mass flywheel", "flywheel-loop",
                          "flywheel_twist", "flywheel_torque"};
    return "<p>The same of the two-mass flywheel in front of the clutch. Its loop is drawn with "
           "the friction that its arc springs have at the mean speed of this run: they press on "
           "their channel the more the faster they turn.</p>" +
           chart_figure(loop_chart(record, shown)) + corner_table(record, shown);
}

}  // namespace

std::string disc_section(const RunRecord& record) {
    const ShownLoop disc{record.disc_loop, "disc", "disc-loop", "disc_twist", "disc_torque"};
    const Chart chart = loop_chart(record, disc);
    if (chart.series.empty()) return "";
    std::string out =
        "<p>The thin lines are the loop of this disc, as a slow bench test would draw it: "
        "full while the twist grows, dashed while it falls. The heavy line is the part that was "
        "used in this run; positive torque drives the gearbox. Where the heavy line passes a "
        "corner, the disc works on two stages at once.</p>";
    out += chart_figure(chart) + corner_table(record, disc) + flywheel_part(record);
    return html_section("disc", "What the disc did", out);
}

std::string stage_section(const RunRecord& record) {
    if (record.stage_use.empty()) return "";
    std::vector<std::vector<std::string>> rows;
    for (const auto& use : record.stage_use) {
        const double share = std::isfinite(use.share) ? std::clamp(use.share, 0.0, 1.0) : 0.0;
        rows.push_back(
            {html_escape(use.stage), percent_text(use.share),
             fmt::format(R"(<svg class="share" viewBox="0 0 160 12" width="160" height="12" )"
                         R"(aria-hidden="true"><rect class="all" x="0.5" y="0.5" width="159" )"
                         R"(height="11"/><rect class="part" x="0.5" y="0.5" width="{:.1f}" )"
                         R"(height="11"/></svg>)",
                         159.0 * share),
             number_text(use.entries)});
    }
    return html_section(
        "stages", "Time spent in each damper stage",
        html_table(
            "Share of the time that is measured",
            {{"Stage"}, {"Share", true}, {"Part of the whole"}, {"Entered per second", true}},
            rows));
}

}  // namespace damper
