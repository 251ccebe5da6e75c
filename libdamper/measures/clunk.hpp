// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/run_view.hpp"

namespace damper {

/// How the lashes in the path of the driving torque close after a change of torque. Referred to
/// the input shaft, so that lashes of different shafts compare. Fills `Measured::gear_impacts`.
void measure_clunk(const RunView& run, Measured& measured);

}  // namespace damper
