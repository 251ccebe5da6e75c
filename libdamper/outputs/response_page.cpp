// SPDX-License-Identifier: MIT
#include "libdamper/outputs/chart.hpp"
#include "libdamper/outputs/html_chart.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_page.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/response_text.hpp"
#include "libdamper/outputs/response_words.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>

namespace damper {

namespace {

const char* const shared_axis = "isolation-axis";  // the first chart carries it for all
constexpr int tones = 4;

Chart frequency_chart(const ResponseRecord& record, std::string id, std::string title,
                      std::string label, std::string units) {
    Chart chart;
    chart.id = std::move(id);
    chart.title = std::move(title);
    chart.x_label = "Frequency";
    chart.x_units = "Hz";
    chart.y_label = std::move(label);
    chart.y_units = std::move(units);
    chart.log_x = true;
    chart.x = record.frequency;
    return chart;
}

/// For a logarithmic axis: nothing is a gap, not minus infinity.
std::vector<double> shown_values(const std::vector<double>& values, double factor) {
    std::vector<double> out;
    out.reserve(values.size());
    for (const double value : values) {
        out.push_back(value > 0.0 ? factor * value : std::numeric_limits<double>::quiet_NaN());
    }
    return out;
}

std::vector<double> met_isolation(const ResponseRecord& record) {
    std::vector<double> out;
    for (const EquivalentRow& row : record.equivalent) out.push_back(row.isolation);
    return out;
}

std::string table(std::string_view caption, const std::vector<Heading>& headings,
                  std::vector<std::vector<std::string>> rows) {
    std::vector<Column> columns;
    for (const Heading& heading : headings) columns.push_back({heading.text, heading.numeric});
    for (auto& row : rows) {
        for (std::string& cell : row) cell = html_escape(cell);
    }
    return html_table(caption, columns, rows);
}

Chart isolation_chart(const ResponseRecord& record) {
    Chart chart = frequency_chart(record, "isolation", "Isolation of the disc, stage by stage",
                                  "Gearbox input over flywheel", "");
    chart.log_y = true;
    int tone = 0;
    std::string last;
    for (const StageIsolation& stage : record.stages) {
        if (stage.stage != last) ++tone;
        last = stage.stage;
        chart.series.push_back({.label = stage.stage + " " + stage.side,
                                .stroke = stage.side == "coast" ? Stroke::dashed : Stroke::line,
                                .tone = (tone - 1) % (tones - 1) + 1,
                                .x = {},
                                .y = shown_values(stage.slips, 1.0)});
        chart.reading +=
            stage.stage + " " + stage.side + ": " + isolation_words(stage.slips_firing) + ". ";
    }
    if (!record.equivalent.empty()) {
        chart.series.push_back({.label = "at the swing met",
                                .stroke = Stroke::heavy,
                                .tone = tones,
                                .x = {},
                                .y = shown_values(met_isolation(record), 1.0)});
        chart.marks.push_back(
            {.label = "firing", .x = record.at_firing.frequency, .y = record.at_firing.isolation});
    }
    chart.reading = "At the firing frequency, friction slipping: " + chart.reading +
                    "Below 1 the gearbox swings less than the flywheel.";
    return chart;
}

std::string isolation_section(const ResponseRecord& record) {
    std::string out;
    put(out, "<p>{}</p>", html_escape(point_words(record)));
    const std::string met = met_words(record);
    if (!met.empty()) put(out, "<p>{}</p>", html_escape(met));
    out += chart_figure(isolation_chart(record));
    out +=
        table("Gearbox input over flywheel at the firing frequency, washers slipping or sticking",
              stage_headings(), stage_rows(record));
    return html_section("isolation-heading", "What the disc keeps from the gearbox", out);
}

std::string disc_section_of(const ResponseRecord& record) {
    if (record.equivalent.empty()) return "";
    const auto chart_of = [&](const char* id, const std::string& title, const char* label,
                              const char* units, double EquivalentRow::*member) {
        const Shown shown = shown_as(units);
        Chart chart = frequency_chart(record, id, title, label, shown.units);
        chart.log_y = true;
        std::vector<double> values;
        for (const EquivalentRow& row : record.equivalent) values.push_back(row.*member);
        chart.series.push_back({.label = label,
                                .stroke = Stroke::line,
                                .tone = tones,
                                .x = {},
                                .y = shown_values(values, shown.factor)});
        const double at = record.at_firing.*member * shown.factor;
        chart.marks.push_back({.label = "firing", .x = record.at_firing.frequency, .y = at});
        chart.reading = std::string(label) +
                        " at the firing frequency: " + with_units(number_text(at), shown.units) +
                        ".";
        return chart_figure(chart, shared_axis);
    };
    std::string out = chart_of("met-twist", "Swing of the " + record.swinging, "Twist, each way",
                               "rad", &EquivalentRow::twist);
    out += chart_of("met-stiffness", "Stiffness of the " + record.swinging + " over that swing",
                    "Stiffness", "N.m/rad", &EquivalentRow::stiffness);
    out += chart_of("met-damping", "Damping of the " + record.swinging + " over that swing",
                    "Damping", "N.m.s/rad", &EquivalentRow::damping);
    return html_section("met-heading", "The " + record.swinging + " at the swing it meets", out);
}

std::string curve_figures(const ResponseRecord& record, const ResponseCurve& curve, int number) {
    const Shown shown = shown_per_torque(curve.units);
    const std::string id = fmt::format("response-{}", number);
    Chart size = frequency_chart(record, id, fmt::format("Response: {}", curve.label), "Magnitude",
                                 shown.units);
    size.log_y = true;
    size.series.push_back({.label = curve.label,
                           .stroke = Stroke::line,
                           .tone = 1,
                           .x = {},
                           .y = shown_values(curve.magnitude, shown.factor)});
    for (const ResponseCurve::Top& top : curve.tops) {
        size.marks.push_back({.label = number_text(top.frequency) + " Hz",
                              .x = top.frequency,
                              .y = top.peak * shown.factor});
        size.reading += fmt::format("Top at {} Hz: {} {}. ", number_text(top.frequency),
                                    number_text(top.peak * shown.factor), shown.units);
    }
    if (curve.tops.empty()) size.reading = "No top in this band.";
    Chart phase =
        frequency_chart(record, id + "-phase", fmt::format("Phase: {}", curve.label), "Phase", "°");
    std::vector<double> degrees;
    for (const double value : curve.phase) degrees.push_back(value * 180.0 / std::numbers::pi);
    phase.series.push_back(
        {.label = curve.label, .stroke = Stroke::line, .tone = 2, .x = {}, .y = degrees});
    phase.reading = "Against the torque; below 0 the motion lags behind it.";
    return chart_figure(size, shared_axis) + chart_figure(phase, shared_axis);
}

std::string response_section(const ResponseRecord& record) {
    std::string out;
    put(out, "<p>Per newton metre of {}, {}.</p>", html_escape(record.from),
        html_escape(friction_words(record)));
    out += table("Tops, with the damping from the width at −3 dB", resonance_headings(),
                 resonance_rows(record));
    int number = 0;
    for (const ResponseCurve& curve : record.curves) out += curve_figures(record, curve, ++number);
    return html_section("responses", "What answers to the torque", out);
}

std::string mind_section(const ResponseRecord& record) {
    std::string out;
    if (!record.remarks.empty()) out += "<ul>";
    for (const std::string& remark : record.remarks) put(out, "<li>{}</li>", html_escape(remark));
    if (!record.remarks.empty()) out += "</ul>";
    put(out, "<p class=\"small\">{}</p><p class=\"small\"><code>{}</code>, damper {}</p>",
        html_escape(response_method()), html_escape(record.identity.command_line),
        html_escape(record.identity.program_version));
    return html_section("method", "How it was computed, and what to mind", out);
}

}  // namespace

std::string response_page(const ResponseRecord& record) {
    std::string out = page_head("Frequency response: " + record.identity.title);
    out += "<body><main>\n" + page_banner(record.identity) + scripts_off_notice();
    out += isolation_section(record);
    out += disc_section_of(record);
    if (!record.curves.empty()) out += response_section(record);
    out += mind_section(record);
    return out + page_end();
}

}  // namespace damper
