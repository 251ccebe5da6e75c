// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/quantity/quantity.hpp"

#include <string>

namespace damper {

/// From gearbox output to the driven wheels.
struct Axle {
    std::string title;
    std::string origin;
    Stiffness propshaft_stiffness;   ///< 0: no propshaft (final drive in the gearbox).
    Inertia propshaft_inertia;       ///< Axle end of the propshaft with the pinion.
    Ratio propshaft_loss_factor;     ///< Turned into viscous damping at the shuffle frequency.
    Ratio final_drive;               ///< Pinion speed over mean wheel speed.
    Inertia differential_inertia;    ///< Crown wheel and cage, at wheel speed.
    Angle lash;                      ///< Final drive and joints together, measured at the wheel.
    Stiffness mesh_stiffness;        ///< Of the final drive teeth, at the crown wheel.
    Ratio mesh_damping;              ///< Damping ratio of that contact on the smaller side.
    Stiffness half_shaft_stiffness;  ///< One shaft.
    Damping half_shaft_damping;      ///< One shaft.
    Torque drag;                     ///< Bearings and churning, at the wheels, constant.
};

/// One driven wheel with its tyre; twins count as one.
struct Tyre {
    std::string title;
    std::string origin;
    Inertia rim_inertia;          ///< Rim, hub and brake.
    Inertia belt_inertia;         ///< Belt and tread.
    Stiffness carcass_stiffness;  ///< Torsional, rim to belt.
    Damping carcass_damping;
    Length rolling_radius;
    Force slip_stiffness;      ///< Driving force per unit of slip.
    Ratio grip;                ///< Largest force over wheel load; 0: linear without limit.
    Ratio rolling_resistance;  ///< Force over load.
};

}  // namespace damper
