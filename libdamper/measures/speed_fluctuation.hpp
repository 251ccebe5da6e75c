// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/run_view.hpp"

namespace damper {

/// How unevenly flywheel and gearbox input turn at idle: peak to peak, rms and firing order, and
/// the half order of the flywheel. Adds the order spectra of both accelerations.
void measure_speed_fluctuation(const RunView& run, Measured& measured);

}  // namespace damper
