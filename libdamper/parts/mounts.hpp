// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/quantity/quantity.hpp"

namespace damper {

/// Mounts of the power unit (engine and gearbox, with a front axle drive the final drive too), as
/// far as they hold it against rolling about its long axis. Positive is the roll that a driving
/// torque makes.
struct Mounts {
    Inertia roll_inertia;      ///< Of the power unit about its roll axis.
    Stiffness roll_stiffness;  ///< Of all mounts and the torque rod together.
    Damping damping;           ///< Of the same.
    Ratio torque_share;        ///< Turn about the shafts' axis per turn about the roll axis.
    Angle drive_stop;          ///< Roll at which a mount meets its stop, drive side; 0: none.
    Angle coast_stop;          ///< The same on the coast side, positive; 0: none.
    Stiffness stop_stiffness;  ///< Of the whole on a stop.
    Ratio stiffness_factor;    ///< Torn, aged: multiplies the roll stiffness. 1 = sound.
    Angle free_play;           ///< Torn: whole roll without any force.
};

}  // namespace damper
