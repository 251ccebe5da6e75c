// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/acceleration_course.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/signals/signal_set.hpp"

#include <span>
#include <vector>

namespace damper {

/// Rate of change of an acceleration, low-passed at 10 Hz without phase shift before it is
/// differentiated. `step` [s] > 0; same length and unit per second.
[[nodiscard]] std::vector<double> jerk_of(std::span<const double> acceleration, double step);

/// Adds the signal `vehicle_jerk` to a run that has a vehicle acceleration.
void add_jerk_signal(SignalSet& signals);

/// What the driver feels of a change of torque besides the shuffle: jerk and vibration dose.
void measure_comfort(const AccelerationCourse& course, Measured& measured);

}  // namespace damper
