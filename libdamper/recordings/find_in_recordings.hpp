// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/recordings/cylinder_balance.hpp"
#include "libdamper/recordings/recording_findings.hpp"
#include "libdamper/signals/tooth_wheel.hpp"

#include <optional>
#include <vector>

namespace damper {

/// What the vehicle did while it was recorded.
enum class RecordedManoeuvre {
    running,        ///< Idle, driving at one speed, or a run-up or run-down in gear.
    torque_change,  ///< Tip-in or back-out: look for shuffle.
    take_up,        ///< Starting from rest: look for judder.
};

/// What is known of the vehicle and asked of its recordings.
struct RecordingRequest {
    int cylinders = 0;        ///< Of a four-stroke engine, evenly firing; 0: not known.
    double mean_speed = 0.0;  ///< Of the engine [rad/s], for sound without a speed; 0: not known.
    ToothWheel flywheel_wheel, input_wheel;  ///< No teeth: found from the mark.
    std::optional<ToothPattern> flywheel_pattern, input_pattern;  ///< From a run-down.
    double band_low = 1000.0, band_high = 6000.0;  ///< Of knocks [Hz]; common practice, no source
    double highest_order = 12.0;
    RecordedManoeuvre manoeuvre = RecordedManoeuvre::running;
    std::optional<CylinderPulse> pulse;  ///< Of the engine; else typical_pulse().
};

/// What recordings of one manoeuvre show, one finding each in their order.
///
/// Times of several recordings are taken as those of one clock where they overlap: the speed of
/// the flywheel in one and of the gearbox input in another give the isolation (told in the
/// recording of the input), and the mean speed gives the firing frequency in sound and
/// acceleration. The quality of a recording is judged before anything is taken from it; what is
/// unusable gives notes and no figures. Nothing is thrown for a recording that shows nothing.
[[nodiscard]] std::vector<RecordingFindings> find_in_recordings(
    const std::vector<WorkshopRecording>& recordings, const RecordingRequest& request);

/// The wheel's pattern from a recording of a run-down without firing, for use with others of the
/// same wheel. Throws ModelError in words for the reader if it cannot be had.
[[nodiscard]] ToothPattern pattern_of_run_down(const WorkshopRecording& pulses, ToothWheel wheel);

}  // namespace damper
