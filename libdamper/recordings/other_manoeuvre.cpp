// SPDX-License-Identifier: MIT
#include "libdamper/recordings/other_manoeuvre.hpp"

#include "libdamper/recordings/quality.hpp"
#include "libdamper/recordings/slip.hpp"

#include <algorithm>
#include <utility>

namespace damper {

namespace {

/// Whether a driveline swings in it after a change of load: what begins with the steepest change,
/// large, and dies as shuffle does. Common practice, no source.
bool swings_after_change(const std::vector<double>& time, const std::vector<double>& value,
                         const char* units) {
    constexpr double least_damping = 0.03, most_damping = 0.4, sure = 0.1;
    constexpr double least_acceleration = 0.3, least_speed = 3.0;  // [m/s2], [rad/s]
    RecordingFindings swing;
    find_swing(time, value, units, RecordedManoeuvre::torque_change, {}, swing);
    const auto frequency = swing.figure("shuffle_frequency");
    const auto damping = swing.figure("shuffle_damping");
    const auto size = swing.figure("shuffle_amplitude");
    if (!frequency || !damping || !size || !swing.quality.empty()) return false;
    const bool large = size->value > (size->units == "m/s2" ? least_acceleration : least_speed);
    return large && frequency->half_width < sure * frequency->value &&
           damping->value > least_damping && damping->value < most_damping;
}

}  // namespace

std::vector<ShaftMotion> as_recorded(const WorkshopRecording& recording, std::size_t index) {
    std::vector<ShaftMotion> out;
    for (const RecordedShaft shaft : {RecordedShaft::flywheel, RecordedShaft::input}) {
        const auto& speed = shaft == RecordedShaft::input ? recording.input : recording.flywheel;
        if (speed.empty()) continue;
        out.push_back({.shaft = shaft, .recording = index, .time = recording.time, .speed = speed});
    }
    return out;
}

void note_other_manoeuvre(const std::vector<WorkshopRecording>& recordings,
                          const std::vector<ShaftMotion>& shafts,
                          std::vector<RecordingFindings>& findings) {
    std::vector<ShaftMotion> all;  // tables with a shaft that stands gave no motion
    for (std::size_t i = 0; i < recordings.size(); ++i) {
        for (ShaftMotion& one : as_recorded(recordings[i], i)) all.push_back(std::move(one));
    }
    for (const ShaftMotion& one : shafts) {
        if (recordings[one.recording].kind == RecordingKind::pulses) all.push_back(one);
    }
    const auto of = [&](RecordedShaft shaft) {
        return std::ranges::find(all, shaft, &ShaftMotion::shaft);
    };
    const auto flywheel = of(RecordedShaft::flywheel), input = of(RecordedShaft::input);
    if (flywheel != all.end() && input != all.end() &&
        looks_like_take_up({flywheel->time, flywheel->speed}, {input->time, input->speed})) {
        note(findings[input->recording], QualityWeight::doubt, "take-up",
             "It looks like a take-up: the gearbox input comes from rest and ends as fast as the "
             "flywheel.");
        return;
    }
    const auto say = [&](std::size_t recording) {
        note(findings[recording], QualityWeight::remark, "torque-change",
             "It looks like a change of load: after a sudden change a swing dies away as shuffle "
             "does.");
    };
    for (const ShaftMotion& one : all) {
        if (swings_after_change(one.time, one.speed, "rad/s")) say(one.recording);
    }
    for (std::size_t i = 0; i < recordings.size(); ++i) {
        if (recordings[i].kind == RecordingKind::acceleration &&
            swings_after_change(recordings[i].time, recordings[i].acceleration, "m/s2")) {
            say(i);
        }
    }
}

}  // namespace damper
