// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/recordings/find_in_recordings.hpp"
#include "libdamper/recordings/recording.hpp"
#include "libdamper/recordings/recording_findings.hpp"
#include "libdamper/studies/seen_figure.hpp"

#include <string>
#include <vector>

namespace damper {

/// Something recorded, at rising times.
struct RecordedCourse {
    std::string name;            ///< Of the recording.
    std::vector<double> time;    ///< [s]
    std::vector<double> value;   ///< SI
    double averaged_over = 0.0;  ///< Angle that each value is a mean over [rad]; 0: an instant
    [[nodiscard]] bool empty() const { return time.size() < 4; }
    /// By cubics between values; before the first and behind the last these.
    [[nodiscard]] std::vector<double> at_steps(double from, double step, std::size_t count) const;
};

/// What was recorded in one manoeuvre, sorted out: the first of each kind, on one clock.
struct RecordedCourses {
    RecordedCourse flywheel, input;  ///< Speeds [rad/s]
    RecordedCourse acceleration;     ///< Of the vehicle, fore and aft [m/s2]
    std::string sound_name;
    std::vector<double> sound;  ///< Of full scale, at even steps from 0; or of a case [m/s2]
    double sound_step = 0.0;    ///< [s]
};

/// Sorts recordings out; pulses become speeds, with the tooth pattern taken off. What is unusable
/// is left out. An accelerometer on a case is like sound; where its place is not told, it is one if
/// it gives more than 4000 values a second.
[[nodiscard]] RecordedCourses sort_out(const std::vector<WorkshopRecording>& recordings,
                                       const RecordingRequest& request);

// What these courses show, by the definitions of the measures of runs (libdamper/measures), whose
// code is used: a recording is brought to even steps and told like a run. What a run knows and a
// recording does not is found in the recording, as each function says.

/// From which on a judder is told beside its size [m/s2]: of a weaker swing a sensor's noise is too
/// much.
inline constexpr double judder_felt_from = 0.15;

/// A take-up: slip_time, judder_acceleration, judder_rms, judder_frequency, judder_growth,
/// slip_order_share, slip_order_acceleration, the same of the shaft. The slip begins when the
/// gearbox input turns with 10 rpm, and ends when the mean slip of some firings is nothing; the
/// vehicle moves from 0.01 m/s of the integrated acceleration on, whose mean before the slip is
/// taken off (a grade, an offset). Needs flywheel, input and, but for slip_time, acceleration.
[[nodiscard]] std::vector<SeenFigure> take_up_measures(const RecordedCourses& courses);

/// A change of torque: shuffle_frequency, damping_ratio, overshoot, acceleration_peak_to_peak,
/// jerk_peak_to_peak. The step goes from the mean before the change to what the acceleration swings
/// about at its first peak. Needs the acceleration.
[[nodiscard]] std::vector<SeenFigure> change_measures(const RecordedCourses& courses);

/// A start of the engine: time_to_idle, passage_acceleration, passage_acceleration_speed.
/// `idle_speed` [rad/s] > 0. Needs the flywheel from standstill on.
[[nodiscard]] std::vector<SeenFigure> start_measures(const RecordedCourses& courses,
                                                     double idle_speed);

/// A run through the speeds: input_shaft_acceleration_largest, transfer_largest, isolation_speed
/// and the speeds of the first two. Needs flywheel and input.
[[nodiscard]] std::vector<SeenFigure> sweep_measures(const RecordedCourses& courses, int cylinders);

/// speed_fluctuation_flywheel of steady running, and impact_modulation from sound with the
/// flywheel's speed: power of the band over that of its quiet fifth, by the firing phase.
[[nodiscard]] std::vector<SeenFigure> running_measures(const RecordedCourses& courses,
                                                       const RecordingRequest& request);

}  // namespace damper
