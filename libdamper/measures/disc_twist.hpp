// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/run_view.hpp"

namespace damper {

/// How the disc is used: twist, share of time per stage and stop, changes of stage, contacts with
/// the stops. Fills `Measured::stage_use`.
void measure_disc_twist(const RunView& run, Measured& measured);

}  // namespace damper
