// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/assemble/staged_spring.hpp"
#include "libdamper/parts/vehicle.hpp"

namespace damper {

/// The arc springs as a staged spring, at an engine speed [rad/s]: with a free angle, a first stage
/// without stiffness that holds the friction ring, then the stages of the arc springs, whose
/// friction on the channel is that of this speed. Torn springs and wear are included.
[[nodiscard]] StagedSpring staged_spring(const TwoMassFlywheel& flywheel, double speed);

/// The flywheel as one element, from the crankshaft's inertia to the clutch's.
[[nodiscard]] Branch flywheel_branch(const TwoMassFlywheel& flywheel, double speed, int primary,
                                     int secondary);

/// Inertia of crankshaft and what of the flywheel is one with it [kg m²].
[[nodiscard]] double crankshaft_inertia(const Vehicle& vehicle);

}  // namespace damper
