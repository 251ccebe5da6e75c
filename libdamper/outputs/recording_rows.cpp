// SPDX-License-Identifier: MIT
#include "libdamper/outputs/recording_rows.hpp"

#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <string_view>

namespace damper {

namespace {

constexpr double rpm = std::numbers::pi / 30.0;

std::string name_of_figure(const std::string& key) {
    for (const KnownFigure& one : known_recording_figures()) {
        if (key == one.key) return one.name;
    }
    return key_text(key);
}

/// Empty where there is nothing, or it is not known.
std::string number_or_blank(double value, double factor = 1.0) {
    return std::isfinite(value) ? number_text(value * factor) : "";
}

/// Two digits of an uncertainty are enough.
std::string width_text(double value, double factor = 1.0) {
    return std::isfinite(value) ? fmt::format("± {:.2g}", value * factor) : "";
}

std::string what_it_is(const RecordingFindings& findings) {
    const bool flywheel = std::ranges::any_of(
        findings.orders, [](const OrderRow& row) { return std::isfinite(row.flywheel); });
    const bool input = std::ranges::any_of(
        findings.orders, [](const OrderRow& row) { return std::isfinite(row.input); });
    switch (findings.kind) {
        case RecordingKind::speed:
            return flywheel && input ? "Speed of flywheel and gearbox input"
                   : input           ? "Speed of the gearbox input"
                                     : "Speed";
        case RecordingKind::pulses:
            return findings.teeth > 0
                       ? fmt::format(
                             "Pulses of a wheel of {} teeth{}", findings.teeth,
                             findings.missing_teeth > 0
                                 ? fmt::format(", {} of them missing", findings.missing_teeth)
                                 : "")
                       : "Pulses";
        case RecordingKind::acceleration:
            return "Acceleration";
        case RecordingKind::sound:
            break;
    }
    return "Sound";
}

}  // namespace

std::string recording_words(const RecordingFindings& findings) {
    std::string out = fmt::format("{}, {} s, {} {} a second", what_it_is(findings),
                                  number_text(findings.duration), number_text(findings.rate),
                                  findings.kind == RecordingKind::pulses ? "pulses" : "values");
    if (findings.run_up) {
        out += fmt::format(", {:.0f} to {:.0f} rpm", findings.lowest_speed / rpm,
                           findings.highest_speed / rpm);
    } else if (findings.mean_speed > 0.0) {
        out += fmt::format(", {:.0f} rpm", findings.mean_speed / rpm);
    }
    return out + ".";
}

std::vector<std::string> quality_words(const RecordingFindings& findings) {
    std::vector<std::string> out;
    for (const QualityNote& one : findings.quality) {
        const char* word = one.weight == QualityWeight::unusable ? "Unusable"
                           : one.weight == QualityWeight::doubt  ? "Doubt"
                                                                 : "Remark";
        out.push_back(fmt::format("{}, {}: {}", word, one.about, one.text));
    }
    return out;
}

FigureTable recording_figure_table(const RecordingFindings& findings) {
    FigureTable table{
        .caption = "What it shows", .headings = {"Figure", "Value", "95 %", "Unit"}, .rows = {}};
    for (const RecordingFigure& figure : findings.figures) {
        Shown shown = shown_as(figure.units, figure.value);
        if (figure.units == "1" && figure.key.ends_with("_damping")) shown = {100.0, "%"};
        if (figure.units == "1" && figure.key.ends_with("_cylinder")) shown = {100.0, "%"};
        if (figure.units == "1" && figure.key.ends_with("_level")) shown.units = "of full scale";
        table.rows.push_back({name_of_figure(figure.key) + (figure.doubtful ? " (?)" : ""),
                              number_text(shown.factor * figure.value),
                              width_text(figure.half_width, shown.factor), shown.units});
    }
    return table;
}

FigureTable recording_order_table(const RecordingFindings& findings) {
    const bool flywheel = std::ranges::any_of(
        findings.orders, [](const OrderRow& row) { return std::isfinite(row.flywheel); });
    const bool input = std::ranges::any_of(
        findings.orders, [](const OrderRow& row) { return std::isfinite(row.input); });
    FigureTable table{.caption = "Orders of the crank, swing of the speed in rpm, 0 to peak",
                      .headings = {"Order"},
                      .rows = {}};
    if (flywheel) table.headings.insert(table.headings.end(), {"Flywheel", "± 95 %"});
    if (input) table.headings.insert(table.headings.end(), {"Gearbox input", "± 95 % "});
    if (flywheel && input) {
        table.headings.insert(table.headings.end(), {"Input/flywheel", "Coherence"});
    }
    for (const OrderRow& row : findings.orders) {
        if (row.order > 2.0 * std::max(1.0, findings.firing_order)) break;
        auto& cells = table.rows.emplace_back();
        cells.push_back(
            fmt::format("{:g}{}", row.order, row.order == findings.firing_order ? " firing" : ""));
        if (flywheel) {
            cells.push_back(number_or_blank(row.flywheel, 1.0 / rpm));
            cells.push_back(width_text(row.flywheel_half_width, 1.0 / rpm));
        }
        if (input) {
            cells.push_back(number_or_blank(row.input, 1.0 / rpm));
            cells.push_back(width_text(row.input_half_width, 1.0 / rpm));
        }
        if (flywheel && input) {
            cells.push_back(number_or_blank(row.ratio));
            cells.push_back(std::isfinite(row.coherence) ? fmt::format("{:.2f}", row.coherence)
                                                         : std::string());
        }
    }
    return table;
}

FigureTable recording_cylinder_table(const RecordingFindings& findings) {
    FigureTable table{.caption = "Cylinders in the order of firing, heat less the mean",
                      .headings = {"Firing", "Share [%]", "95 %"},
                      .rows = {}};
    for (std::size_t k = 0; k < findings.cylinders.size(); ++k) {
        const CylinderRow& row = findings.cylinders[k];
        table.rows.push_back({fmt::format("{}", k + 1), fmt::format("{:+.0f}", 100.0 * row.share),
                              width_text(row.half_width, 100.0)});
    }
    return table;
}

FigureTable recording_track_table(const RecordingFindings& findings, std::size_t most) {
    FigureTable table{.caption = fmt::format("Order {:g} over speed, acceleration in rad/s²",
                                             findings.firing_order),
                      .headings = {"Speed [rpm]", "Flywheel", "Gearbox input", "Input/flywheel"},
                      .rows = {}};
    if (!findings.run_up || findings.track.empty()) return table;
    const std::size_t each = (findings.track.size() + most - 1) / most;
    for (std::size_t i = 0; i < findings.track.size(); i += each) {
        const TrackRow& row = findings.track[i];
        table.rows.push_back({fmt::format("{:.0f}", row.speed / rpm), number_or_blank(row.flywheel),
                              number_or_blank(row.input),
                              number_or_blank(row.input / row.flywheel)});
    }
    return table;
}

const std::vector<std::string>& recording_cautions() {
    static const std::vector<std::string> all{
        "Recording at a running engine or on the road is work where people get hurt: keep to the "
        "maker's procedure, local rules and licensed practice; fix cables and sensors away from "
        "turning parts.",
        "Figures are estimates from one recording. Record the same state twice before and after a "
        "repair, at the same oil temperature and engine speed."};
    return all;
}

}  // namespace damper
