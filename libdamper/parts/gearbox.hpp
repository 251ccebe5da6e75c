// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/oil.hpp"
#include "libdamper/quantity/quantity.hpp"

#include <string>
#include <vector>

namespace damper {

/// One gear pair, always in mesh; its loose gear turns on its shaft until it is engaged.
struct GearPair {
    std::string name;       ///< "1", "2", "R", …
    Ratio ratio;            ///< Input speed over output speed.
    std::string loose_on;   ///< "output shaft" or "input shaft".
    Inertia loose_inertia;  ///< Of the loose gear at its own shaft.
    Length backlash;        ///< Circumferential at the pitch radius.
    Length pitch_radius;    ///< Of the loose gear.
    Torque drag_constant;   ///< On the loose gear at its own shaft, speed-independent part.
    Torque drag_viscous;    ///< Speed-dependent part at the reference speed and temperature.
};

/// Manual gearbox.
struct Gearbox {
    std::string title;
    std::string origin;
    Inertia input_inertia;   ///< Input shaft and all that is fixed to it, referred to it.
    Inertia output_inertia;  ///< Output shaft and all that is fixed to it.
    std::vector<GearPair> gears;
    Stiffness mesh_stiffness;    ///< Of a tooth contact, at the loose gear.
    Ratio mesh_damping;          ///< Damping ratio of a tooth contact on the loose gear alone.
    Torque shaft_drag_constant;  ///< Bearings and seals of the input shaft.
    Torque
        shaft_drag_viscous;   ///< Churning and oil shear of the input shaft side at the reference.
    AngularSpeed drag_speed;  ///< Input speed to which the viscous parts refer.
    KinematicViscosity drag_viscosity;  ///< Oil viscosity to which the viscous parts refer.
    Oil oil;                            ///< What is in it.
};

}  // namespace damper
