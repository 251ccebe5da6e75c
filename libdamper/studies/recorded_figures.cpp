// SPDX-License-Identifier: MIT
#include "libdamper/studies/recorded_figures.hpp"

#include "libdamper/recordings/find_in_recordings.hpp"
#include "libdamper/recordings/read_recording.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>
#include <numbers>
#include <utility>

namespace damper {

namespace {

/// Figures of recordings that are measures of runs under another name, in the same unit. Knocks
/// that stand out of a sound are not among them: a run counts every contact of teeth.
constexpr std::array<std::pair<const char*, const char*>, 8> same{{
    {"isolation_firing", "transfer"},
    {"flywheel_firing_speed", "speed_fluctuation_flywheel_order"},
    {"input_firing_speed", "speed_fluctuation_input_order"},
    {"input_firing_acceleration", "input_shaft_acceleration_order"},
    {"shuffle_frequency", "shuffle_frequency"},
    {"shuffle_damping", "damping_ratio"},
    {"judder_frequency", "judder_frequency"},
    {"judder_amplitude", "judder_acceleration"},
}};

RecordedManoeuvre manoeuvre_of(const std::string& symptom) {
    if (symptom == "judder") return RecordedManoeuvre::take_up;
    if (symptom == "shuffle" || symptom == "clunk") return RecordedManoeuvre::torque_change;
    return RecordedManoeuvre::running;
}

/// Of a 95 % interval; 0 if there is none.
double deviation_of(const RecordingFigure& figure) {
    constexpr double two_sided_95 = 1.959964;
    return std::isfinite(figure.half_width) ? figure.half_width / two_sided_95 : 0.0;
}

}  // namespace

std::vector<SeenFigure> measures_in(const RecordingFindings& findings) {
    std::vector<SeenFigure> out;
    if (!findings.usable()) return out;
    for (const auto& [key, measure] : same) {
        const auto figure = findings.figure(key);
        // Judder of a speed is none of the seat's acceleration.
        const bool other_unit =
            std::string_view(key) == "judder_amplitude" && (!figure || figure->units != "m/s2");
        if (figure && !other_unit && std::isfinite(figure->value)) {
            out.push_back({measure, figure->value, findings.name, deviation_of(*figure)});
        }
    }
    // The amplitude of an angle is that of its speed over order times mean speed.
    const auto half = findings.figure("flywheel_half_order_speed");
    if (half && findings.mean_speed > 0.0) {
        out.push_back(
            {"half_order_angle", half->value / (0.5 * findings.mean_speed), findings.name,
             deviation_of(*half) / (0.5 * findings.mean_speed)});
    }
    // Of a run through the speeds the largest ratio counts.
    if (findings.run_up) {
        std::erase_if(out, [](const SeenFigure& one) { return one.measure == "transfer"; });
        double largest = 0.0, at = 0.0;
        for (const TrackRow& row : findings.track) {
            const double ratio = row.flywheel > 0.0 ? row.input / row.flywheel : std::nan("");
            if (std::isfinite(ratio) && ratio > largest) {
                largest = ratio;
                at = row.speed;
            }
        }
        if (largest > 0.0) {
            out.push_back({"transfer_largest", largest, findings.name});
            out.push_back({"transfer_largest_speed", at, findings.name});
        }
        double shaft = 0.0;
        for (const TrackRow& row : findings.track) {
            if (std::isfinite(row.input)) shaft = std::max(shaft, row.input);
        }
        if (shaft > 0.0) out.push_back({"input_shaft_acceleration_largest", shaft, findings.name});
    }
    return out;
}

RecordedFigures figures_in_recordings(const Complaint& complaint, int cylinders) {
    return figures_in_recordings(complaint.recordings, manoeuvre_of(complaint.symptom), cylinders);
}

RecordedFigures figures_in_recordings(
    const std::vector<std::pair<std::string, std::string>>& files, RecordedManoeuvre manoeuvre,
    int cylinders) {
    RecordedFigures out;
    std::vector<WorkshopRecording> recordings;
    for (const auto& [kind, file] : files) {
        if (kind == "loop") continue;
        RecordingOptions options;
        if (kind.starts_with("input_shaft")) options.shaft = RecordedShaft::input;
        recordings.push_back(read_recording(file, options));
    }
    if (recordings.empty()) return out;
    RecordingRequest request;
    request.cylinders = cylinders;
    request.manoeuvre = manoeuvre;
    out.findings = find_in_recordings(recordings, request);
    for (const RecordingFindings& findings : out.findings) {
        for (const QualityNote& note : findings.quality) {
            out.notes.push_back(
                fmt::format("{}: {}{}", findings.name,
                            note.weight == QualityWeight::unusable ? "not used: " : "", note.text));
        }
        for (SeenFigure& figure : measures_in(findings)) {
            const bool known = std::ranges::any_of(
                out.seen, [&](const SeenFigure& one) { return one.measure == figure.measure; });
            if (!known) out.seen.push_back(std::move(figure));
        }
    }
    return out;
}

}  // namespace damper
