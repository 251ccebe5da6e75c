// SPDX-License-Identifier: MIT
#include "libdamper/recordings/find_in_recordings.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/numerics/four_point.hpp"
#include "libdamper/recordings/other_manoeuvre.hpp"
#include "libdamper/recordings/quality.hpp"
#include "libdamper/recordings/shaft_motion.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <optional>
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

const char* name_of_speed(RecordedShaft shaft) {
    return shaft == RecordedShaft::input ? "The speed of the gearbox input"
                                         : "The speed of the flywheel";
}

using Motions = std::vector<ShaftMotion>;

/// When the clutch slips, by the first motion of each shaft in a recording that can be used.
std::optional<SlipTime> slip_of(const Motions& tables, const Motions& pulses,
                                const std::vector<RecordingFindings>& findings) {
    const auto of = [&](RecordedShaft shaft) -> const ShaftMotion* {
        for (const Motions* all : {&tables, &pulses}) {
            for (const ShaftMotion& one : *all) {
                if (one.shaft == shaft && findings[one.recording].usable()) return &one;
            }
        }
        return nullptr;
    };
    const ShaftMotion* flywheel = of(RecordedShaft::flywheel);
    const ShaftMotion* input = of(RecordedShaft::input);
    if (flywheel == nullptr || input == nullptr) return std::nullopt;
    return slip_time({flywheel->time, flywheel->speed}, {input->time, input->speed});
}

/// Swings of the speeds; of a table with both, those of the gearbox input, which has more of them.
void find_swings(const Motions& shafts, RecordedManoeuvre manoeuvre,
                 const std::optional<SlipTime>& slip, std::vector<RecordingFindings>& findings) {
    for (std::size_t i = 0; i < shafts.size(); ++i) {
        const ShaftMotion& motion = shafts[i];
        const bool input_follows =
            i + 1 < shafts.size() && shafts[i + 1].recording == motion.recording;
        if (input_follows || !findings[motion.recording].usable()) continue;
        find_swing(motion.time, motion.speed, "rad/s", manoeuvre, slip, findings[motion.recording]);
    }
}

void find_orders_if_possible(const ShaftMotion& motion, const RecordingRequest& request,
                             RecordingFindings& findings) {
    try {
        find_orders(motion, request, findings);
    } catch (const ModelError& error) {
        note(findings, QualityWeight::unusable, "unusable",
             fmt::format("It cannot be brought to the angle of its shaft: {}.", error.what()));
    }
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
    std::vector<ShaftMotion> shafts, tables;  // over an angle; as recorded, where they may stand
    const bool once = at_rest_allowed(request.manoeuvre);
    for (std::size_t i = 0; i < recordings.size(); ++i) {
        const WorkshopRecording& recording = recordings[i];
        RecordingFindings& findings = out.emplace_back(begun(recording));
        if (once && recording.kind == RecordingKind::speed) {
            look_at_times(findings, recording.time);
            for (ShaftMotion& motion : as_recorded(recording, i)) {
                look_for_held_values(findings, motion.speed, name_of_speed(motion.shaft));
                tables.push_back(std::move(motion));
            }
            continue;
        }
        for (ShaftMotion& motion : shafts_of(recording, i, request, findings)) {
            if (!once) find_orders_if_possible(motion, request, findings);
            shafts.push_back(std::move(motion));
        }
    }
    std::optional<SlipTime> slip;
    if (once) {
        if (request.manoeuvre == RecordedManoeuvre::take_up) slip = slip_of(tables, shafts, out);
        find_swings(tables, request.manoeuvre, slip, out);
        find_swings(shafts, request.manoeuvre, slip, out);
    } else {
        note_other_manoeuvre(recordings, shafts, out);
    }
    const auto of = [&](RecordedShaft shaft) {
        return std::ranges::find_if(shafts, [&](const ShaftMotion& one) {
            return one.shaft == shaft && out[one.recording].usable();
        });
    };
    const auto flywheel = of(RecordedShaft::flywheel), input = of(RecordedShaft::input);
    if (!once && flywheel != shafts.end() && input != shafts.end()) {
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
            if (findings.usable() && once) {
                find_swing(recording.time, recording.acceleration, "m/s2", request.manoeuvre, slip,
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
