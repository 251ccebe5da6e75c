// SPDX-License-Identifier: MIT
#include "libdamper/studies/recorded_figures.hpp"

#include "libdamper/assemble/engine.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/describe/read_knowledge.hpp"
#include "libdamper/recordings/find_in_recordings.hpp"
#include "libdamper/recordings/read_recording.hpp"
#include "libdamper/studies/recorded_measures.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>
#include <numbers>
#include <set>
#include <string_view>
#include <utility>

namespace damper {

namespace {

/// Figures of recordings that are measures of runs under another name, in the same unit. Knocks
/// that stand out of a sound are not among them: a run counts every contact of teeth. Nor is the
/// amplitude of judder, whose band is another.
constexpr std::array<std::pair<const char*, const char*>, 7> same{{
    {"isolation_firing", "transfer"},
    {"flywheel_firing_speed", "speed_fluctuation_flywheel_order"},
    {"input_firing_speed", "speed_fluctuation_input_order"},
    {"input_firing_acceleration", "input_shaft_acceleration_order"},
    {"shuffle_frequency", "shuffle_frequency"},
    {"shuffle_damping", "damping_ratio"},
    {"judder_frequency", "judder_frequency"},
}};

constexpr std::string_view at_standstill = "noise at start or stop";
constexpr int harmonics = 4;  // of a cylinder's torque, a cylinder

RecordedManoeuvre manoeuvre_of(const std::string& symptom) {
    if (symptom == "judder" || symptom == "overheating") return RecordedManoeuvre::take_up;
    if (symptom == "shuffle" || symptom == "clunk") return RecordedManoeuvre::torque_change;
    return RecordedManoeuvre::running;
}

/// A swing too small to be felt has no frequency that is worth comparing; of a speed it is not
/// known how much of it the vehicle does.
bool judder_is_felt(const RecordingFindings& findings) {
    const auto size = findings.figure("judder_amplitude");
    return size && size->units == "m/s2" && size->value >= judder_felt_from;
}

/// Tables of the workshop's benches: studies/recorded_bench.hpp reads them.
bool of_bench(const std::string& kind) {
    return kind == "loop" || kind == "loop_idle" || kind == "clamp_load" ||
           kind == "release_travel";
}

/// A table that stands under both shafts has the speeds of both.
void require_both(const WorkshopRecording& recording) {
    if (!recording.flywheel.empty() && !recording.input.empty()) return;
    throw InputError({{{recording.name, 0, 0, ""},
                       "",
                       "one speed, and the table stands under flywheel and under input_shaft",
                       "the speeds of both shafts in one table, or a table a shaft",
                       "Name the table once, under the shaft whose speed it is; or give it the "
                       "columns \"flywheel speed [rpm]\" and \"gearbox input speed [rpm]\"."}});
}

}  // namespace

std::vector<SeenFigure> measures_in(const RecordingFindings& findings) {
    std::vector<SeenFigure> out;
    if (!findings.usable()) return out;
    for (const auto& [key, measure] : same) {
        if (std::string_view(key) == "judder_frequency" && !judder_is_felt(findings)) continue;
        const auto figure = findings.figure(key);
        if (figure && std::isfinite(figure->value)) {
            out.push_back({measure, figure->value, findings.name});
        }
    }
    // The amplitude of an angle is that of its speed over order times mean speed.
    const auto half = findings.figure("flywheel_half_order_speed");
    if (half && findings.mean_speed > 0.0) {
        out.push_back(
            {"half_order_angle", half->value / (0.5 * findings.mean_speed), findings.name});
    }
    if (findings.run_up) {
        // What stands for one speed says nothing of a range.
        std::erase_if(out, [](const SeenFigure& one) { return one.measure == "transfer"; });
    }
    return out;
}

RecordingRequest recording_request(const std::string& symptom, const Vehicle& vehicle) {
    RecordingRequest out;
    out.cylinders = vehicle.engine.cylinders;
    out.manoeuvre = manoeuvre_of(symptom);
    const CylinderTorque torque = idling_cylinder(vehicle.engine);
    if (!torque.with_heat.empty()) {
        out.pulse = pulse_of(torque.with_heat, torque.without_heat, harmonics * out.cylinders);
    }
    return out;
}

namespace {

/// What is to be said of the recordings' quality; what holds of several is said once.
std::vector<std::string> notes_on(const std::vector<RecordingFindings>& all) {
    std::vector<std::pair<std::string, std::string>> notes;  // text and names
    for (const RecordingFindings& findings : all) {
        for (const QualityNote& note : findings.quality) {
            const bool useless = note.weight == QualityWeight::unusable;
            std::string text = (useless ? "not used: " : "") + note.text;
            if (useless && findings.kind == RecordingKind::pulses) {
                text += " A complaint tells the count as flywheel_teeth or input_shaft_teeth.";
            }
            const auto known = std::ranges::find(
                notes, text, [](const auto& one) -> const auto& { return one.first; });
            if (known == notes.end()) {
                notes.emplace_back(std::move(text), findings.name);
            } else {
                known->second += ", " + findings.name;
            }
        }
    }
    std::vector<std::string> out;
    for (const auto& [text, names] : notes) out.push_back(fmt::format("{}: {}", names, text));
    return out;
}

}  // namespace

RecordedFigures figures_in(const std::vector<WorkshopRecording>& recordings,
                           const RecordingRequest& request, const std::string& symptom,
                           double idle_speed) {
    RecordedFigures out;
    // Orders need an engine that turns all the time.
    std::vector<WorkshopRecording> turning;
    for (const WorkshopRecording& one : recordings) {
        constexpr double slow = 0.3;  // of idle: the starter still turns it
        const bool stands =
            one.kind == RecordingKind::speed && symptom == at_standstill &&
            std::ranges::any_of(one.flywheel, [&](double w) { return !(w > slow * idle_speed); });
        if (!stands) turning.push_back(one);
    }
    if (!turning.empty()) out.findings = find_in_recordings(turning, request);
    // Those by the code of the runs' own measures come first, then what a single recording shows.
    const auto take = [&](std::vector<SeenFigure> figures) {
        for (SeenFigure& figure : figures) {
            const bool known = std::ranges::any_of(
                out.seen, [&](const SeenFigure& one) { return one.measure == figure.measure; });
            if (!known && std::isfinite(figure.value)) out.seen.push_back(std::move(figure));
        }
    };
    std::vector<WorkshopRecording> usable;
    for (const WorkshopRecording& one : recordings) {
        const auto found = std::ranges::find(out.findings, one.name, &RecordingFindings::name);
        if (found == out.findings.end() || found->usable()) usable.push_back(one);
    }
    const RecordedCourses courses = sort_out(usable, request);
    switch (request.manoeuvre) {
        case RecordedManoeuvre::take_up:
            take(take_up_measures(courses));
            break;
        case RecordedManoeuvre::torque_change:
            take(change_measures(courses));
            break;
        case RecordedManoeuvre::running:
            take(running_measures(courses, request));
            if (symptom == at_standstill) {
                take(start_measures(courses, idle_speed));
            } else if (std::ranges::any_of(out.findings, &RecordingFindings::run_up)) {
                take(sweep_measures(courses, request.cylinders));
            }
            break;
    }
    out.notes = notes_on(out.findings);
    for (const RecordingFindings& findings : out.findings) {
        take(measures_in(findings));
    }
    return out;
}

RecordedFigures figures_in_recordings(const Complaint& complaint, const Vehicle& vehicle) {
    std::vector<WorkshopRecording> recordings;
    std::set<std::string> seen;
    const auto file_of = [](const auto& one) { return one.second; };
    for (const auto& [kind, file] : complaint.recordings) {
        if (of_bench(kind)) continue;
        // One table may hold the speeds of both shafts; then it may stand under both.
        const auto is_speed = [&](const auto& one) {
            return one.second == file && is_speed_recording(one.first);
        };
        const bool twice = is_speed(std::pair(kind, file)) &&
                           std::ranges::count_if(complaint.recordings, is_speed) > 1;
        if (twice && !seen.insert(file).second) continue;
        RecordingOptions options;
        if (kind.starts_with("input_shaft") && !twice) options.shaft = RecordedShaft::input;
        options.acceleration = is_acceleration_recording(kind);
        recordings.push_back(read_recording(file, options));
        if (kind == "seat_acceleration") recordings.back().place = AccelerometerPlace::vehicle;
        if (twice) require_both(recordings.back());
        // On pages the way there says nothing and tells much; messages about faults keep it, and so
        // do recordings of one name in two folders, which would be taken for one.
        const auto name_of = [](const auto& one) {
            return std::filesystem::path(one.second).filename();
        };
        const auto name = std::filesystem::path(file).filename();
        const bool shared = std::ranges::count(complaint.recordings, file, file_of) ==
                            std::ranges::count(complaint.recordings, name, name_of);
        if (shared) recordings.back().name = name.string();
        if (options.acceleration && recordings.back().has_acceleration) {
            recordings.back().name += " (acceleration)";
        }
    }
    if (recordings.empty()) return {};
    RecordingRequest request = recording_request(complaint.symptom, vehicle);
    request.flywheel_wheel.teeth = complaint.flywheel_teeth;
    request.input_wheel.teeth = complaint.input_shaft_teeth;
    return figures_in(recordings, request, complaint.symptom, vehicle.engine.idle_speed.si());
}

}  // namespace damper
