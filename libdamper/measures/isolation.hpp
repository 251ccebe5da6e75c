// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/run_view.hpp"

namespace damper {

/// What of the engine's swing reaches the gearbox input at idle: acceleration at the firing order,
/// its peak, and the ratio to the flywheel.
void measure_isolation(const RunView& run, Measured& measured);

/// Amplitude of the input shaft's acceleration at the firing order [rad/s2]; 0 if the run is
/// shorter than one engine cycle.
[[nodiscard]] double input_acceleration_amplitude(const RunView& run);

}  // namespace damper
