// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/run_view.hpp"

namespace damper {

/// What the driver feels of a change of torque besides the shuffle: jerk and vibration dose.
void measure_comfort(const RunView& run, Measured& measured);

}  // namespace damper
