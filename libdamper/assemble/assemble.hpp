// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/scenario/scenario.hpp"

namespace damper {

/// Parts and manoeuvre → driveline. A manoeuvre is a boundary condition (gear path, clutch state,
/// excitation, reference speeds) on the same driveline, not another model.
/// Throws InputError where the description cannot be assembled.
[[nodiscard]] Assembled assemble(const Scenario& scenario);

/// Standing in neutral, engine idling, pedal up or down.
[[nodiscard]] Assembled assemble_idle(const Vehicle& vehicle, const Idle& idle,
                                      const Conditions& conditions);

/// Driving in a gear while the engine torque changes.
[[nodiscard]] Assembled assemble_in_gear(const Vehicle& vehicle, const TorqueChange& change,
                                         const Conditions& conditions);

}  // namespace damper
