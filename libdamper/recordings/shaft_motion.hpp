// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/recordings/find_in_recordings.hpp"
#include "libdamper/recordings/slip.hpp"
#include "libdamper/signals/crank_angle.hpp"

#include <optional>
#include <vector>

namespace damper {

/// A shaft as it was recorded: its speed at rising times, and the angle where that was counted.
struct ShaftMotion {
    RecordedShaft shaft = RecordedShaft::flywheel;
    std::size_t recording = 0;       ///< Index among the recordings.
    std::vector<double> time = {};   ///< [s]
    std::vector<double> speed = {};  ///< [rad/s], at those times
    std::vector<double> angle = {};  ///< Turned through at those times [rad]
    double averaged_over = 0.0;      ///< Angle that each speed is a mean over [rad]; 0: an instant
};

/// The shafts of a recording of speeds or pulses, with notes on its quality. Empty if it is
/// unusable.
[[nodiscard]] std::vector<ShaftMotion> shafts_of(const WorkshopRecording& recording,
                                                 std::size_t index, const RecordingRequest& request,
                                                 RecordingFindings& findings);

/// Mean speed of a motion [rad/s].
[[nodiscard]] double mean_speed(const ShaftMotion& motion);

/// Orders, tracks, balance of one shaft by itself.
void find_orders(const ShaftMotion& motion, const RecordingRequest& request,
                 RecordingFindings& findings);

/// Gearbox input over flywheel, by order, told in `findings`; both by the flywheel's angle where
/// their times overlap.
void find_isolation(const ShaftMotion& flywheel, const ShaftMotion& input,
                    const RecordingRequest& request, RecordingFindings& findings);

/// Shuffle after a change of torque, or judder, in values at rising times: speed [rad/s] or
/// acceleration [m/s2], with its units. Judder is looked for while the clutch slips, where `slip`
/// tells when that is.
void find_swing(const std::vector<double>& time, const std::vector<double>& value,
                const char* units, RecordedManoeuvre manoeuvre, const std::optional<SlipTime>& slip,
                RecordingFindings& findings);

/// Knocks and the swing of the noise, in sound or acceleration at even steps [s]. `engine_speed`
/// 0: not known; `speed_recorded`: known from a recording of the same time.
void find_noise(const std::vector<double>& values, double step, const char* units,
                double engine_speed, bool speed_recorded, const RecordingRequest& request,
                RecordingFindings& findings);

/// Adds a figure.
void add_figure(RecordingFindings& findings, const char* key, double value, const char* units,
                double half_width);

}  // namespace damper
