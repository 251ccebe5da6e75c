// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/acceleration_course.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/signals/damped_sine.hpp"
#include "libdamper/signals/extrema.hpp"

#include <optional>
#include <string>
#include <vector>

namespace damper {

/// The vehicle's acceleration after a change of torque, as a step response: 0 before the change,
/// 1 where the new torque would hold it, low-passed at 30 Hz without phase shift.
struct StepResponse {
    std::vector<double> values;  ///< [1]
    double step = 0.0;           ///< Sample spacing [s]
    double height = 0.0;         ///< Acceleration step, signed [m/s2]
    /// Highest top above one half that is left again by 5 %: the first one of a decaying swing.
    std::optional<Extremum> first_peak;
    std::optional<DampedSine> ringing;  ///< Fitted from the first peak on; its time starts there.
    std::string no_ringing;             ///< Why there is none.
};

/// Nothing if the change makes no step (below 1 mm/s2) or the run ended before it.
[[nodiscard]] std::optional<StepResponse> step_response(const AccelerationCourse& course);

/// Shuffle: frequency, decrement, damping; settling; overshoot, peak to peak and delay.
void measure_shuffle(const AccelerationCourse& course, Measured& measured);

}  // namespace damper
