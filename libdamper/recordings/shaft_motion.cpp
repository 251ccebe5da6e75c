// SPDX-License-Identifier: MIT
#include "libdamper/recordings/shaft_motion.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/recordings/quality.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <utility>

namespace damper {

namespace {

constexpr double rpm = std::numbers::pi / 30.0;

/// Whole orders that an engine makes and a wheel may not be charged with.
std::vector<int> engine_orders(int cylinders) {
    // The firing order and its multiples; below it cylinders that differ; unknown: all low ones.
    const int firing = cylinders > 0 ? std::max(1, cylinders / 2) : 4;
    std::vector<int> out;
    for (int order = 1; order <= firing; ++order) out.push_back(order);
    const int multiple = cylinders % 2 == 0 || cylinders == 0 ? firing : cylinders;
    for (int n = 1; n <= 4; ++n) out.push_back(n * multiple);
    if (cylinders == 0) out = {1, 2, 3, 4, 5, 6, 8, 9, 12};
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    return out;
}

void tell_count(const PlacedPulses& pulses, RecordingFindings& findings) {
    const ToothWheel wheel = pulses.wheel;
    findings.teeth = wheel.teeth;
    findings.missing_teeth = wheel.missing;
    const int revolutions = std::max<int>(
        1, static_cast<int>((pulses.place.back() - pulses.place.front()) / wheel.teeth));
    if (wheel.missing > 0 && 2 * pulses.marks < revolutions) {
        note(findings, QualityWeight::unusable, "tooth count",
             fmt::format("The mark of the wheel is where {} places a revolution put it in only {} "
                         "of {} revolutions: the count, or the number missing, is wrong.",
                         wheel.teeth, pulses.marks, revolutions));
        return;
    }
    if (const int better = better_count(pulses); better > 0 && wheel.missing == 0) {
        note(findings, QualityWeight::doubt, "tooth count",
             fmt::format("The unevenness of the teeth comes back after {} teeth, not after {}: "
                         "count them again.",
                         better, wheel.teeth));
    }
    const int bad = pulses.lost + pulses.added + pulses.misplaced_marks;
    if (bad == 0) return;
    const double share = static_cast<double>(bad) / static_cast<double>(pulses.time.size());
    constexpr double grave = 0.02;
    note(findings, share > grave ? QualityWeight::unusable : QualityWeight::doubt, "drop-outs",
         fmt::format("{} pulses are lost, {} too many, {} marks out of place, of {} pulses.",
                     pulses.lost, pulses.added, pulses.misplaced_marks, pulses.time.size()));
}

ShaftMotion from_pulses(const WorkshopRecording& recording, std::size_t index,
                        const RecordingRequest& request, RecordingFindings& findings) {
    const bool input = recording.pulses_of == RecordedShaft::input;
    ToothWheel wheel = input ? request.input_wheel : request.flywheel_wheel;
    if (wheel.teeth == 0) {
        wheel = find_wheel(recording.time);
        if (wheel.teeth == 0) {
            throw ModelError(
                "The wheel has no mark of missing teeth that comes back each revolution: say how "
                "many teeth it has.");
        }
        note(findings, QualityWeight::remark, "tooth count",
             fmt::format("Taken from its mark, the wheel has {} places, {} of them without a "
                         "tooth.",
                         wheel.teeth, wheel.missing));
    }
    const PlacedPulses pulses = place_pulses(recording.time, wheel);
    tell_count(pulses, findings);
    if (!findings.usable()) return {};
    const auto& given = input ? request.input_pattern : request.flywheel_pattern;
    std::optional<ToothPattern> pattern = given;
    if (!pattern) {
        try {
            pattern = tooth_pattern(pulses, engine_orders(request.cylinders));
        } catch (const ModelError& error) {
            note(findings, QualityWeight::remark, "tooth pattern",
                 fmt::format("The spacing of the teeth is not corrected: {}.", error.what()));
        }
    }
    if (pattern) {
        findings.pitch_error = pattern->error;
        add_figure(findings, "pitch_error", pattern->rms, "rad", pattern->half_width);
        note(findings, QualityWeight::remark, "tooth pattern",
             given ? "The spacing of the teeth is corrected by the run-down."
                   : fmt::format("The spacing of the teeth is corrected by the mean of {} "
                                 "revolutions, but for the whole orders that the engine makes "
                                 "itself: in these the wheel's own error stays. A run-down without "
                                 "firing would tell it.",
                                 pattern->revolutions));
    }
    const std::vector<double> angle = pulse_angles(pulses, pattern ? &*pattern : nullptr);
    ShaftMotion out{.shaft = recording.pulses_of, .recording = index};
    for (std::size_t i = 1; i < angle.size(); ++i) {
        const double passed = pulses.time[i] - pulses.time[i - 1];
        out.time.push_back(0.5 * (pulses.time[i] + pulses.time[i - 1]));
        out.speed.push_back((angle[i] - angle[i - 1]) / passed);
        out.angle.push_back(0.5 * (angle[i] + angle[i - 1]));
    }
    out.averaged_over = 2.0 * std::numbers::pi / wheel.teeth;
    return out;
}

ShaftMotion from_speed(const WorkshopRecording& recording, std::size_t index, RecordedShaft shaft,
                       RecordingFindings& findings) {
    const bool input = shaft == RecordedShaft::input;
    const char* name = input ? "The speed of the gearbox input" : "The speed of the flywheel";
    ShaftMotion out{.shaft = shaft, .recording = index};
    out.time = recording.time;
    out.speed = input ? recording.input : recording.flywheel;
    look_for_held_values(findings, out.speed, name);
    look_for_clipping(findings, out.speed, name);
    const auto slowest = std::ranges::min_element(out.speed);
    if (!(*slowest > 0.0)) {
        note(findings, QualityWeight::unusable, "standing still",
             fmt::format("At {:.6g} s {} is {:.4g} rpm; over an angle, a shaft must turn forward.",
                         out.time[static_cast<std::size_t>(slowest - out.speed.begin())],
                         input ? "the gearbox input" : "the flywheel", *slowest / rpm));
        return {};
    }
    out.angle = turned_angle(out.time, out.speed);
    return out;
}

}  // namespace

void add_figure(RecordingFindings& findings, const char* key, double value, const char* units,
                double half_width) {
    findings.figures.push_back({key, value, units, half_width, false});
}

double mean_speed(const ShaftMotion& motion) {
    return (motion.angle.back() - motion.angle.front()) /
           (motion.time.back() - motion.time.front());
}

std::vector<ShaftMotion> shafts_of(const WorkshopRecording& recording, std::size_t index,
                                   const RecordingRequest& request, RecordingFindings& findings) {
    std::vector<ShaftMotion> out;
    try {
        if (recording.kind == RecordingKind::pulses) {
            out.push_back(from_pulses(recording, index, request, findings));
        } else if (recording.kind == RecordingKind::speed) {
            look_at_times(findings, recording.time);
            // A take-up begins with an input that stands.
            const bool from_rest = request.manoeuvre == RecordedManoeuvre::take_up;
            if (!recording.flywheel.empty()) {
                out.push_back(from_speed(recording, index, RecordedShaft::flywheel, findings));
            }
            if (!recording.input.empty() && !from_rest) {
                out.push_back(from_speed(recording, index, RecordedShaft::input, findings));
            }
        }
    } catch (const ModelError& error) {
        note(findings, QualityWeight::unusable, "unusable", error.what());
    }
    if (!findings.usable()) out.clear();
    std::erase_if(out, [](const ShaftMotion& one) { return one.time.size() < 4; });
    if (!out.empty()) findings.mean_speed = mean_speed(out.front());
    return out;
}

ToothPattern pattern_of_run_down(const WorkshopRecording& pulses, ToothWheel wheel) {
    if (pulses.kind != RecordingKind::pulses) {
        throw ModelError("the spacing of teeth takes pulse times");
    }
    if (wheel.teeth == 0) wheel = find_wheel(pulses.time);
    if (wheel.teeth == 0) throw ModelError("say how many teeth the wheel has");
    return tooth_pattern(place_pulses(pulses.time, wheel), {});
}

}  // namespace damper
