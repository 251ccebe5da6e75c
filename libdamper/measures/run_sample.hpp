// SPDX-License-Identifier: MIT
#pragma once

namespace damper {

/// What the measures see of a run at one instant of its uniform sampling; the same numbers as the
/// signals of these names (see RunFacts).
struct RunSample {
    double time = 0.0;                      ///< [s]
    double crank_angle = 0.0;               ///< Counted on, not wound back [rad].
    double flywheel_speed = 0.0;            ///< [rad/s]
    double input_shaft_speed = 0.0;         ///< [rad/s]
    double flywheel_acceleration = 0.0;     ///< [rad/s2]
    double input_shaft_acceleration = 0.0;  ///< [rad/s2]
    double disc_twist = 0.0;                ///< [rad]
    double vehicle_acceleration = 0.0;      ///< [m/s2]; 0 in neutral
    double drive_shaft_torque = 0.0;        ///< Of both half shafts [N m]; 0 in neutral
    double flywheel_twist = 0.0;            ///< Of a two-mass flywheel [rad]; 0 without
    double block_roll = 0.0;  ///< Of the power unit, as a driving torque rolls it [rad]; 0 without
    // Of a clutch that slips; else 0.
    double clutch_torque = 0.0;  ///< Of the engine on the disc [N m]
    double slip_speed = 0.0;     ///< Engine less disc [rad/s]
    double slip_angle = 0.0;     ///< Counted on [rad]
    double clamp_load = 0.0;     ///< With its modulations [N]
    double vehicle_speed = 0.0;  ///< [m/s]
};

}  // namespace damper
