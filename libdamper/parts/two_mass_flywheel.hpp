// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/quantity/quantity.hpp"

#include <string>
#include <vector>

namespace damper {

/// One stage of the arc springs: up to its end the springs that work together have one stiffness.
struct ArcStage {
    std::string name;           ///< "outer", "outer and inner", …
    Stiffness stiffness;        ///< Drive side. > 0
    Stiffness coast_stiffness;  ///< Coast side; 0: as the drive side.
    Angle drive_end;            ///< Twist of the flywheel at which the stage ends, drive side.
    Angle coast_end;            ///< The same on the coast side, given as a positive angle.
    int springs = 0;            ///< Number of equal arc springs side by side; 0: not stated.
    int springs_broken = 0;     ///< How many of them carry nothing.
};

/// A flywheel of two masses with arc springs between them. It takes the place of the engine's
/// solid flywheel (Engine::flywheel_inertia).
///
/// Twists are measured from the middle of the free angle. Inside the free angle only the friction
/// ring speaks; beyond it the arc springs work, and rub on their channel the more the faster the
/// flywheel turns, since the centrifugal force presses them outwards: it grows with the square of
/// the speed.
struct TwoMassFlywheel {
    std::string title;
    std::string origin;
    Inertia primary_inertia;       ///< Turns with the crankshaft.
    Inertia secondary_inertia;     ///< Clutch side, clutch cover included.
    Angle free_angle;              ///< Whole twist from spring contact to spring contact, ≥ 0.
    std::vector<ArcStage> stages;  ///< 1…4, from soft to stiff.
    Stiffness stop_stiffness;      ///< Coils or stops on each other.
    Torque base_hysteresis;        ///< Full loop width inside the free angle: the friction ring.
    Torque arc_hysteresis;         ///< Full loop width on the arc springs, turning slowly.
    Torque arc_hysteresis_growth;  ///< By how much it is wider at `arc_reference_speed`.
    AngularSpeed arc_reference_speed;
    Ratio friction_factor;  ///< Wear, loss of grease: multiplies every hysteresis. 1 = new.
    Ratio friction_grip;    ///< Stiffness of sticking friction relative to the stage's.
    Damping damping;        ///< Viscous, across the whole flywheel: grease; small.
};

}  // namespace damper
