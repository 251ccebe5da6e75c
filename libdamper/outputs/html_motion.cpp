// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_chart.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_run.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"

#include <algorithm>

namespace damper {
namespace {

/// The first time chart of the page carries the axis of all.
const char* const axis_of_run = "speed-axis";

std::string single_chart(const RunRecord& record, const char* id, const char* title,
                         const char* label, const char* signal, int tone) {
    Chart chart = time_chart(record, id, title);
    chart.y_label = label;
    if (!add_signal(chart, record, signal, label, Stroke::line, tone)) return "";
    chart.reading = spread_text(record, signal, label);
    return chart_figure(chart, axis_of_run);
}

std::string signal_title(const RunRecord& record, const std::string& name) {
    if (name == "flywheel_acceleration") return "Flywheel";
    if (name == "input_shaft_acceleration") return "Gearbox input shaft";
    if (record.signals.has(name)) return record.signals.at(name).long_name;
    return key_text(name);
}

/// The largest line of each spectrum, and what passes of it from the first to the others.
std::string order_reading(const RunRecord& record) {
    std::string text;
    const OrderSpectrum& first = record.spectra.front();
    const auto peak = std::max_element(first.amplitude.begin(), first.amplitude.end());
    if (peak == first.amplitude.end()) return text;
    const auto at = static_cast<std::size_t>(peak - first.amplitude.begin());
    const std::string units = shown_as(first.units).units;
    text = fmt::format("{}: strongest at order {} with {} {}. ", signal_title(record, first.signal),
                       number_text(first.order[at]), number_text(*peak), units);
    for (std::size_t i = 1; i < record.spectra.size(); ++i) {
        const auto& other = record.spectra[i];
        if (at >= other.amplitude.size() || *peak <= 0.0) continue;
        text += fmt::format("{} at this order: {} {}, that is {}. ",
                            signal_title(record, other.signal), number_text(other.amplitude[at]),
                            units, percent_text(other.amplitude[at] / *peak));
    }
    return text;
}

}  // namespace

std::string motion_section(const RunRecord& record) {
    Chart speed = time_chart(record, "speed", "Speed of flywheel and gearbox input shaft");
    speed.y_label = "Speed";
    add_signal(speed, record, "flywheel_speed", "Flywheel", Stroke::line, 1);
    add_signal(speed, record, "input_shaft_speed", "Gearbox input shaft", Stroke::line, 2);
    if (speed.series.empty()) return "";
    speed.reading = spread_text(record, "flywheel_speed", "Flywheel") +
                    spread_text(record, "input_shaft_speed", "Gearbox input shaft");
    std::string out;
    if (record.measured_from > 0.0) {
        put(out,
            "<p>Measures look at the run from {} s on. The shaded time before is left out.</p>",
            number_text(record.measured_from));
    }
    out += chart_figure(speed);
    out += single_chart(record, "input-acceleration",
                        "Angular acceleration of the gearbox input shaft", "Angular acceleration",
                        "input_shaft_acceleration", 2);
    out += single_chart(record, "block-roll", "Roll of engine and gearbox on their mounts", "Roll",
                        "block_roll", 4);
    return html_section("motion", "What moved", out);
}

std::string vehicle_section(const RunRecord& record) {
    if (!record.signals.has("flywheel_speed") && !record.signals.has("input_shaft_speed"))
        return "";
    const std::string charts =
        single_chart(record, "vehicle-acceleration", "Acceleration of the vehicle", "Acceleration",
                     "vehicle_acceleration", 3) +
        single_chart(record, "vehicle-jerk",
                     "Jerk of the vehicle: how fast its acceleration changes", "Jerk",
                     "vehicle_jerk", 3) +
        single_chart(record, "drive-shaft-torque", "Torque in the drive shafts", "Torque",
                     "drive_shaft_torque", 4);
    if (charts.empty()) return "";
    const char* meaning =
        "<p>A pull that overshoots and swings is felt as jerking; a sharp peak of jerk or of shaft "
        "torque goes with a clunk.</p>";
    return html_section("vehicle", "What the driver feels", meaning + charts);
}

std::string clutch_section(const RunRecord& record) {
    if (!record.signals.has("clutch_torque")) return "";
    const std::string charts =
        single_chart(record, "clutch-torque", "Torque of the clutch faces", "Torque",
                     "clutch_torque", 4) +
        single_chart(record, "clutch-slip", "Slip: engine less disc", "Slip speed", "clutch_slip",
                     1) +
        single_chart(record, "clutch-clamp", "Clamp load", "Load", "clutch_clamp", 2);
    const char* meaning =
        "<p>While the slip is above zero the faces rub and make heat, torque times slip speed; "
        "where "
        "it comes to zero they stick and the clutch is closed. A torque that swings while the "
        "clamp "
        "load is even is friction judder; a clamp load that swings itself is uneven faces.</p>";
    return html_section("clutch", "What the clutch did", meaning + charts);
}

std::string order_section(const RunRecord& record) {
    if (record.spectra.empty()) return "";
    Chart chart;
    chart.kind = Chart::Kind::bars;
    chart.id = "orders";
    chart.title = "Angular acceleration by engine order";
    chart.x_label = "Engine order";
    chart.y_label = "Amplitude";
    chart.y_units = shown_as(record.spectra.front().units).units;
    chart.x = record.spectra.front().order;
    int tone = 1;
    for (const auto& spectrum : record.spectra) {
        // Bars stand on one axis: a spectrum over other orders has no place beside them.
        if (spectrum.order != chart.x || spectrum.units != record.spectra.front().units) continue;
        const Shown shown = shown_as(spectrum.units);
        ChartSeries series{.label = signal_title(record, spectrum.signal),
                           .stroke = Stroke::bars,
                           .tone = tone++,
                           .x = {},
                           .y = spectrum.amplitude};
        for (double& value : series.y) value *= shown.factor;
        chart.series.push_back(std::move(series));
    }
    chart.reading = order_reading(record);
    const char* meaning =
        "<p>Each pair of bars is one beat of the engine, so many times per turn of the crankshaft: "
        "how strong it is at the flywheel, and "
        "what "
        "arrives at the gearbox. A short second bar means that the damper filters this beat.</p>";
    return html_section("order", "What the damper lets through", meaning + chart_figure(chart));
}

std::string course_section(const RunRecord& record) {
    const SpeedCourse& course = record.course;
    if (course.speed.empty()) return "";
    const Shown speed = shown_as("rad/s");
    const auto chart_of = [&](const char* id, const char* title, const char* label,
                              const std::string& units) {
        Chart chart;
        chart.kind = Chart::Kind::path;
        chart.id = id;
        chart.title = title;
        chart.x_label = "Engine speed";
        chart.x_units = speed.units;
        chart.y_label = label;
        chart.y_units = shown_as(units).units;
        return chart;
    };
    const auto add = [&](Chart& chart, const std::vector<double>& values, const std::string& units,
                         const char* label, int tone) {
        const Shown shown = shown_as(units);
        ChartSeries series{.label = label, .stroke = Stroke::line, .tone = tone, .x = {}, .y = {}};
        for (const double value : course.speed) series.x.push_back(value * speed.factor);
        for (const double value : values) series.y.push_back(value * shown.factor);
        const auto peak = std::max_element(series.y.begin(), series.y.end());
        chart.reading += fmt::format(
            "{}: at most {} {}, at {} {}. ", label, number_text(*peak), shown.units,
            number_text(series.x[static_cast<std::size_t>(peak - series.y.begin())]), speed.units);
        chart.series.push_back(std::move(series));
    };
    Chart swing =
        chart_of("course-swing", "Angular acceleration at the firing order", "Amplitude", "rad/s2");
    add(swing, course.flywheel_acceleration, "rad/s2", "Flywheel", 1);
    add(swing, course.input_shaft_acceleration, "rad/s2", "Gearbox input shaft", 2);
    Chart torque = chart_of("course-torque", "Torque swing in the drive shafts at the firing order",
                            "Amplitude", "N.m");
    add(torque, course.drive_shaft_torque, "N.m", "Drive shafts", 4);
    const char* meaning =
        "<p>Where the second curve lies above the first, the driveline resonates on the springs of "
        "the disc and the gears get more swing than the engine makes; a hump in the torque of the "
        "drive shafts is what a body can answer with a boom.</p>";
    return html_section("course", "Over engine speed",
                        meaning + chart_figure(swing) + chart_figure(torque));
}

std::string impact_section(const RunRecord& record) {
    if (record.gear_impacts.empty()) return "";
    std::vector<std::vector<std::string>> rows;
    double most = 0.0;
    for (const auto& gear : record.gear_impacts) most = std::max(most, gear.energy_rate);
    const Shown power = shown_as("W", most);
    for (const auto& gear : record.gear_impacts) {
        rows.push_back(
            {html_escape(gear.element), number_text(gear.rate),
             number_text(gear.energy_rate * power.factor), number_text(gear.closing_speed_rms),
             number_text(gear.closing_speed_max),
             gear.threshold_ratio == 0.0 ? "does not apply" : number_text(gear.threshold_ratio)});
    }
    std::string out =
        "<p>A loose gear rattles when the swing of its shaft asks for more torque than drag can "
        "give. That is the threshold ratio: below 1 the gear stays on its tooth face, above 1 it "
        "can lift off. Loudness goes with the energy rate.</p>";
    out += html_table("Over the time that is measured",
                      {{"Gear"},
                       {"Impacts per second", true},
                       {fmt::format("Energy rate in {}", power.units), true},
                       {"Closing speed rms in rad/s", true},
                       {"Largest closing speed in rad/s", true},
                       {"Threshold ratio", true}},
                      rows);
    return html_section("impacts", "Impacts at each gear", out);
}

}  // namespace damper
