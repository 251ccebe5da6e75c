// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/quantity/quantity.hpp"

#include <string>
#include <vector>

namespace damper {

/// One stage of the disc's torsional damper. Stages are listed from the inside (softest, first
/// to move) outwards.
struct DiscStage {
    std::string name;           ///< "idle", "main", …
    Stiffness stiffness;        ///< Drive side. > 0
    Stiffness coast_stiffness;  ///< Coast side; 0: as the drive side.
    Angle drive_end;            ///< Total twist of the disc at which the stage ends, drive side.
    Angle coast_end;            ///< The same on the coast side, given as a positive angle.
    Torque hysteresis;       ///< Full width of the measured loop inside the stage; limit is half.
    Angle friction_play;     ///< Twist after a reversal before its friction washer takes hold.
    Torque preload;          ///< Extra torque before the stage starts to move.
    Ratio friction_factor;   ///< Wear, rust or heat: multiplies the hysteresis. 1 = new.
    int springs = 0;         ///< Number of equal springs; 0: not stated.
    int springs_broken = 0;  ///< How many of them carry nothing.
};

/// Driven plate ("disc") with its torsional damper.
struct Disc {
    std::string title;
    std::string origin;
    std::string assembly;           ///< "lumped" (no inertia between the stages) or "series".
    std::string flywheel;           ///< That it is made for: "any", "solid" or "two-mass".
    Inertia facing_inertia;         ///< Facings and side plates: turn with the engine when clamped.
    Inertia flange_inertia;         ///< Between first and second stage; used by "series".
    Inertia hub_inertia;            ///< Hub side: turns with the gearbox input shaft.
    std::vector<DiscStage> stages;  ///< 1…6
    Stiffness stop_stiffness;       ///< Of the stops at the end of the last stage, and of the
                                    ///< contacts between stages.
    Ratio friction_grip;  ///< Stiffness of a sticking washer relative to its stage's. 20…100
    Damping damping;      ///< Viscous, across the whole disc; small.
    Angle spline_play;    ///< Play of the hub on the shaft, wear included. 0 = none.
};

}  // namespace damper
