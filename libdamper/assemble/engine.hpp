// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/elements/torque_source.hpp"
#include "libdamper/parts/engine.hpp"

namespace damper {

/// Torque of the engine over crank angle at a steady speed [rad/s].
///
/// `brake_torque` [N m] leaves at the flywheel; `consumers` [N m] are driven besides. The heat in
/// the cylinders makes good both and the engine's friction, so that a larger load burns more and
/// shakes more. The pressure at the start of compression goes from idle to full load with the load.
/// With torque = "harmonics" the table is taken as it stands.
///
/// Throws ModelError if the cylinders cannot do it.
[[nodiscard]] CrankTorque crank_torque(const Engine& engine, double speed, double brake_torque,
                                       double consumers);

/// Crank angle of each cylinder's firing, in order of cylinder number [rad].
[[nodiscard]] std::vector<double> firing_angles(const Engine& engine);

}  // namespace damper
