// SPDX-License-Identifier: MIT
#include "libdamper/base/version.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_still.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/recording_rows.hpp"
#include "libdamper/outputs/recording_text.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace damper {

namespace {

constexpr double rpm = std::numbers::pi / 30.0;
constexpr double degree = std::numbers::pi / 180.0;

std::string table(const FigureTable& what) {
    return what.rows.empty() ? std::string() : still_table(what);
}

ChartSeries curve(std::string label, int tone) {
    return {.label = std::move(label), .stroke = Stroke::line, .tone = tone, .x = {}, .y = {}};
}

std::string id_of(const char* what, std::size_t index) {
    return fmt::format("{}-{}", what, index + 1);
}

std::string track_chart(const RecordingFindings& findings, std::size_t index) {
    if (!findings.run_up || findings.track.size() < 2) return "";
    Chart chart = still_chart(id_of("track", index),
                              fmt::format("Order {:g} over speed", findings.firing_order),
                              {"Engine speed", "rpm"}, {"Angular acceleration", "rad/s²"});
    ChartSeries flywheel = curve("flywheel", 1), input = curve("gearbox input", 2);
    for (const TrackRow& row : findings.track) {
        if (std::isfinite(row.flywheel)) {
            flywheel.x.push_back(row.speed / rpm);
            flywheel.y.push_back(row.flywheel);
        }
        if (std::isfinite(row.input)) {
            input.x.push_back(row.speed / rpm);
            input.y.push_back(row.input);
        }
    }
    for (ChartSeries* one : {&flywheel, &input}) {
        if (!one->x.empty()) chart.series.push_back(std::move(*one));
    }
    return still_figure(chart);
}

std::string order_chart(const RecordingFindings& findings, std::size_t index) {
    if (findings.run_up || findings.orders.empty()) return "";
    Chart chart = still_chart(id_of("orders", index), "Orders of the crank", {"Order", ""},
                              {"Swing of the speed", "rpm"});
    // A line up to each order, with the pen up between them.
    const double up = std::nan("");
    ChartSeries flywheel = curve("flywheel", 1), input = curve("gearbox input", 2);
    const auto add = [&](ChartSeries& series, double order, double value) {
        if (!std::isfinite(value)) return;
        for (const auto& [x, y] : {std::pair{order, 0.0}, {order, value / rpm}, {up, up}}) {
            series.x.push_back(x);
            series.y.push_back(y);
        }
    };
    constexpr double beside = 0.08;  // of an order, so that both are seen
    for (const OrderRow& row : findings.orders) {
        add(flywheel, row.order, row.flywheel);
        add(input, row.order + beside, row.input);
    }
    for (ChartSeries* one : {&flywheel, &input}) {
        if (!one->x.empty()) chart.series.push_back(std::move(*one));
    }
    return chart.series.empty() ? std::string() : still_figure(chart);
}

std::string envelope_chart(const RecordingFindings& findings, std::size_t index) {
    if (findings.envelope_spectrum.empty()) return "";
    Chart chart = still_chart(id_of("envelope", index), "How the noise swings", {"Frequency", "Hz"},
                              {"Swing over mean", ""});
    ChartSeries line = curve("envelope of the band", 1);
    for (const SpectrumLine& one : findings.envelope_spectrum) {
        if (one.frequency < 1.0) continue;  // drift
        line.x.push_back(one.frequency);
        line.y.push_back(one.value);
    }
    if (line.x.size() < 2) return "";
    chart.series.push_back(std::move(line));
    return still_figure(chart);
}

std::string pitch_chart(const RecordingFindings& findings, std::size_t index) {
    if (findings.pitch_error.size() < 2) return "";
    Chart chart = still_chart(id_of("teeth", index), "Unevenness of the teeth that was taken out",
                              {"Tooth", ""}, {"Error", "°"});
    ChartSeries line = curve("angle of the tooth less even spacing", 1);
    for (std::size_t k = 0; k < findings.pitch_error.size(); ++k) {
        line.x.push_back(static_cast<double>(k + 1));
        line.y.push_back(findings.pitch_error[k] / degree);
    }
    chart.series.push_back(std::move(line));
    return still_figure(chart);
}

std::string section_of(const RecordingFindings& findings, std::size_t index) {
    std::string body;
    put(body, "<p><strong>{}</strong></p><p>{}</p>", html_escape(findings.name),
        html_escape(recording_words(findings)));
    body += html_list(quality_words(findings));
    if (!findings.figures.empty()) {
        constexpr std::size_t most_rows = 40;
        body += table(recording_figure_table(findings));
        body += track_chart(findings, index) + table(recording_track_table(findings, most_rows));
        body += order_chart(findings, index);
        if (!findings.run_up) body += table(recording_order_table(findings));
        body += table(recording_cylinder_table(findings));
        if (!findings.cylinder_reading.empty()) {
            put(body, "<p>{}</p>", html_escape(findings.cylinder_reading));
        }
        body += envelope_chart(findings, index) + pitch_chart(findings, index);
    }
    return html_section(id_of("recording", index), fmt::format("Recording {}", index + 1), body);
}

}  // namespace

std::string html_recordings(const std::vector<RecordingFindings>& all,
                            const std::string& command_line) {
    RunIdentity identity;
    identity.program_version = program_version();
    identity.command_line = command_line;
    for (const RecordingFindings& findings : all) {
        identity.inputs.emplace_back(findings.name, findings.sha256);
    }
    identity.title = all.size() == 1 ? all.front().name : fmt::format("{} files", all.size());
    std::string out = still_page_head("Recordings", identity, {});
    for (std::size_t i = 0; i < all.size(); ++i) out += section_of(all[i], i);
    out += html_section("mind", "Before you act on it", html_list(recording_cautions()));
    return out + still_page_end(identity);
}

}  // namespace damper
