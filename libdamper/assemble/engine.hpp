// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/elements/torque_source.hpp"
#include "libdamper/parts/engine.hpp"

#include <functional>
#include <vector>

namespace damper {

/// Torque of the engine over crank angle at a steady speed [rad/s].
///
/// `brake_torque` [N m] leaves at the flywheel; `consumers` [N m] are driven besides. The heat in
/// the cylinders makes good both and the engine's friction, so that a larger load burns more and
/// shakes more. The pressure at the start of compression goes from idle to full load with the load.
/// With torque = "harmonics" the table is taken as it stands, and so is a pressure trace.
///
/// Throws ModelError if the cylinders cannot do it.
[[nodiscard]] CrankTorque crank_torque(const Engine& engine, double speed, double brake_torque,
                                       double consumers);

/// Full-load torque at a speed [rad/s]: straight between the points of the curve, beyond its ends
/// as at them [N m].
[[nodiscard]] double full_load_torque(const Engine& engine, double speed);

/// Torque that it takes to turn the engine over, foot off, a positive number [N m].
[[nodiscard]] double motored_torque(const Engine& engine, double speed);

/// Torque over crank angle and speed: at each of `speeds` [rad/s] that of `crank_torque` for the
/// torque that `brake_torque` gives there [N m]. Orders that no speed has are left out. Foot off,
/// the cylinders burn no more than their own losses in compressing; what the overrun torque is
/// larger by than friction, changing the gas takes.
[[nodiscard]] SpeedTorque speed_torque(const Engine& engine, std::vector<double> speeds,
                                       const std::function<double(double)>& brake_torque,
                                       double consumers);

/// Torque of one cylinder at equal steps over an engine cycle, the first at its top dead centre of
/// firing [N m].
struct CylinderTorque {
    std::vector<double> with_heat, without_heat;
};

/// The same at idle, burning what friction takes; masses of piston and rod included. Empty where
/// the engine is not described by its cylinders' pressure, or they cannot do it.
[[nodiscard]] CylinderTorque idling_cylinder(const Engine& engine);

/// Crank angle of each cylinder's firing, in order of cylinder number [rad].
[[nodiscard]] std::vector<double> firing_angles(const Engine& engine);

}  // namespace damper
