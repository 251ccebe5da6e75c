// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/assemble/gearbox.hpp"
#include "libdamper/parts/vehicle.hpp"

namespace damper {

/// Drag of everything that turns in neutral, referred to the input shaft; oil temperature [K].
[[nodiscard]] DragTorque neutral_drag(const Gearbox& gearbox, double oil_temperature);

/// Speed to which the released clutch's drag [N m] turns the gearbox, at most that of the engine
/// [rad/s].
[[nodiscard]] double released_speed(const DragTorque& drag, double clutch_drag,
                                    double engine_speed);

/// How fast everything turns at the start, and how.
struct StandingAt {
    double speed = 0.0;        ///< Of the engine [rad/s].
    double input_speed = 0.0;  ///< Of the gearbox [rad/s].
    bool closed = true;        ///< The clutch.
    double oil = 0.0;          ///< Temperature in the gearbox [K].
    double mean_speed = 0.0;   ///< Of the engine over the manoeuvre [rad/s]; 0: `speed`.
};

/// Engine, clutch and gearbox in neutral, without a torque of the engine.
[[nodiscard]] Assembled assemble_standing(const Vehicle& vehicle, const StandingAt& at);

}  // namespace damper
