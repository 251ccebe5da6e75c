// SPDX-License-Identifier: MIT
#include "libdamper/recordings/find_in_recordings.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/numerics/four_point.hpp"
#include "libdamper/recordings/quality.hpp"
#include "libdamper/recordings/shaft_motion.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace damper {

namespace {

RecordingFindings begun(const WorkshopRecording& recording) {
    RecordingFindings out;
    out.kind = recording.kind;
    out.name = recording.name;
    out.sha256 = recording.sha256;
    if (recording.kind == RecordingKind::sound) {
        out.duration = recording.step * static_cast<double>(recording.sound.size());
        out.rate = 1.0 / recording.step;
    } else {
        out.duration = recording.time.back() - recording.time.front();
        out.rate = static_cast<double>(recording.time.size() - 1) / out.duration;
    }
    for (const std::string& remark : recording.remarks) {
        note(out, QualityWeight::remark, "reading", remark);
    }
    return out;
}

/// Acceleration at even steps; rows that do not stand evenly are moved by cubics.
std::vector<double> evened(const WorkshopRecording& recording, double& step,
                           RecordingFindings& findings) {
    const std::vector<double>& time = recording.time;
    step = (time.back() - time.front()) / static_cast<double>(time.size() - 1);
    double off = 0.0;
    for (std::size_t i = 0; i < time.size(); ++i) {
        off = std::max(off, std::abs(time[i] - time.front() - static_cast<double>(i) * step));
    }
    constexpr double even = 0.05;  // of a step; the rounding of printed times
    if (off < even * step) return recording.acceleration;
    std::vector<double> out;
    std::size_t hint = 0;
    for (std::size_t i = 0; i < time.size(); ++i) {
        const double at = std::min(time.front() + static_cast<double>(i) * step, time.back());
        out.push_back(four_point(time, recording.acceleration, at, hint));
    }
    note(findings, QualityWeight::remark, "sampling",
         fmt::format("Rows are up to {:.2g} steps off even times; the values were moved there by "
                     "cubics, which takes half of what swings at a quarter of the sampling rate.",
                     off / step));
    return out;
}

bool at_rest_allowed(RecordedManoeuvre manoeuvre) {
    return manoeuvre != RecordedManoeuvre::running;
}

void look_at_sound(const WorkshopRecording& recording, RecordingFindings& findings) {
    look_for_silence(findings, recording.sound, recording.step);
    look_for_clipping(findings, recording.sound, "The sound");
    double loudest = 0.0;
    for (const double value : recording.sound) loudest = std::max(loudest, std::abs(value));
    constexpr double few_steps = 64.0;
    if (recording.smallest_step > 0.0 && loudest > 0.0 &&
        loudest < few_steps * recording.smallest_step) {
        note(findings, QualityWeight::doubt, "level",
             fmt::format("It is so quiet that it has only {:.0f} steps of its converter.",
                         loudest / recording.smallest_step));
    }
}

}  // namespace

std::vector<RecordingFindings> find_in_recordings(const std::vector<WorkshopRecording>& recordings,
                                                  const RecordingRequest& request) {
    std::vector<RecordingFindings> out;
    std::vector<ShaftMotion> shafts;
    for (std::size_t i = 0; i < recordings.size(); ++i) {
        const WorkshopRecording& recording = recordings[i];
        RecordingFindings& findings = out.emplace_back(begun(recording));
        if (at_rest_allowed(request.manoeuvre) && recording.kind == RecordingKind::speed) {
            look_at_times(findings, recording.time);
            const bool input = !recording.input.empty();
            const std::vector<double>& speed = input ? recording.input : recording.flywheel;
            look_for_held_values(
                findings, speed,
                input ? "The speed of the gearbox input" : "The speed of the flywheel");
            if (findings.usable()) {
                find_swing(recording.time, speed, "rad/s", request.manoeuvre, findings);
            }
            continue;
        }
        for (ShaftMotion& motion : shafts_of(recording, i, request, findings)) {
            try {
                if (at_rest_allowed(request.manoeuvre)) {
                    find_swing(motion.time, motion.speed, "rad/s", request.manoeuvre, findings);
                } else {
                    find_orders(motion, request, findings);
                }
            } catch (const ModelError& error) {
                note(findings, QualityWeight::unusable, "unusable",
                     fmt::format("It cannot be brought to the angle of its shaft: {}.",
                                 error.what()));
            }
            shafts.push_back(std::move(motion));
        }
    }
    const auto of = [&](RecordedShaft shaft) {
        return std::ranges::find_if(shafts, [&](const ShaftMotion& one) {
            return one.shaft == shaft && out[one.recording].usable();
        });
    };
    const auto flywheel = of(RecordedShaft::flywheel), input = of(RecordedShaft::input);
    if (!at_rest_allowed(request.manoeuvre) && flywheel != shafts.end() && input != shafts.end()) {
        RecordingFindings& told = out[input->recording];
        try {
            find_isolation(*flywheel, *input, request, told);
        } catch (const ModelError& error) {
            note(told, QualityWeight::doubt, "isolation",
                 fmt::format("Flywheel and gearbox input cannot be brought to one angle: {}.",
                             error.what()));
        }
    }
    const auto engine = flywheel != shafts.end() ? flywheel : input;
    const bool turning = engine != shafts.end();
    const double speed = turning ? mean_speed(*engine) : request.mean_speed;
    for (std::size_t i = 0; i < recordings.size(); ++i) {
        const WorkshopRecording& recording = recordings[i];
        RecordingFindings& findings = out[i];
        if (recording.kind == RecordingKind::sound) {
            look_at_sound(recording, findings);
            if (findings.usable()) {
                find_noise(recording.sound, recording.step, "1", speed, turning, request, findings);
            }
        } else if (recording.kind == RecordingKind::acceleration) {
            look_at_times(findings, recording.time);
            look_for_clipping(findings, recording.acceleration, "The acceleration");
            look_for_held_values(findings, recording.acceleration, "The acceleration");
            if (findings.usable() && at_rest_allowed(request.manoeuvre)) {
                find_swing(recording.time, recording.acceleration, "m/s2", request.manoeuvre,
                           findings);
            } else if (findings.usable()) {
                double step = 0.0;
                const std::vector<double> values = evened(recording, step, findings);
                find_noise(values, step, "m/s2", speed, turning, request, findings);
            }
        }
        const bool noisy =
            recording.kind == RecordingKind::sound || recording.kind == RecordingKind::acceleration;
        if (noisy && turning && out[engine->recording].run_up && findings.usable()) {
            note(findings, QualityWeight::doubt, "run-up",
                 "The engine's speed goes through a range; the swing of the noise is looked for at "
                 "its mean alone.");
        }
        settle_quality(findings);
    }
    return out;
}

}  // namespace damper
