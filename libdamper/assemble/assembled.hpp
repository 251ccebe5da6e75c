// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"

#include <string>
#include <utility>
#include <vector>

namespace damper {

/// A driveline together with what its inertias and elements are in the trade's words, so that
/// signals and facts can be taken from it. Indices into Driveline::masses and ::branches.
struct Assembled {
    Driveline line;

    int engine = 0;             ///< Inertia of the engine.
    int input_shaft = 0;        ///< Inertia of the gearbox input shaft.
    int clutch_side = 0;        ///< Inertia that carries the clutch: the engine, or the
                                ///< secondary side of a two-mass flywheel.
    int flywheel = -1;          ///< Branch of a two-mass flywheel; −1: there is none.
    double mean_speed = 0.0;    ///< Of the engine, that arc spring friction is taken at [rad/s].
    int power_unit = -1;        ///< Inertia that rolls on its mounts; −1: it cannot roll.
    int mounts = -1;            ///< Branch of the mounts; −1: there are none.
    double torque_share = 1.0;  ///< Turn about the shafts' axis per turn about the roll axis.
    int vehicle = -1;           ///< Inertia of the vehicle; −1 when standing in neutral.
    int disc_to_input = 0;      ///< Branch that brings the disc's torque to the input shaft.
    std::vector<int> drive_shafts;  ///< Branches of the half shafts; empty in neutral.
    double rolling_radius = 0.0;    ///< [m]; 0 in neutral.
    bool clutch_closed = true;
    bool may_rest = false;          ///< The manoeuvre begins or ends with the engine at rest.
    bool vehicle_may_rest = false;  ///< It starts from rest.
    int clutch_faces = -1;          ///< In Driveline::faces; −1: the clutch does not slip.
    int clutch_disc = -1;  ///< Inertia that carries the facings; −1: one with the engine.
    double end_speed =
        0.0;  ///< Of the vehicle's inertia at which the run is over [rad/s]; 0: none.

    struct LooseGear {
        int branch = 0;        ///< Its lash.
        double ratio = 0.0;    ///< Its speed over input shaft speed.
        double inertia = 0.0;  ///< [kg m²]
        double drag = 0.0;     ///< At its mean speed [N m].
    };
    std::vector<LooseGear> loose_gears;

    struct LoadedLash {
        int branch = 0;
        double to_input = 1.0;  ///< Input shaft speed over the speed its twist is measured at.
        double gap = 0.0;       ///< Its whole play [rad].
    };
    std::vector<LoadedLash> loaded_lashes;

    std::vector<std::pair<std::string, double>> gear_path;  ///< Step, ratio.
};

}  // namespace damper
