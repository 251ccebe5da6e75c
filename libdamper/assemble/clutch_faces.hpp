// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/elements/friction_faces.hpp"
#include "libdamper/parts/vehicle.hpp"
#include "libdamper/scenario/scenario.hpp"

namespace damper {

/// Clamp load with the pedal up, facings as they are [N].
[[nodiscard]] double full_clamp_load(const Vehicle& vehicle);

/// Clamp load over time of a take-up [N]: the even rise, the course of shares of the full load, or
/// by the travel of the release bearing through cover and cushion.
[[nodiscard]] Polyline clamp_course(const Vehicle& vehicle, const TakeUp& take_up);

/// The faces of the clutch at the temperature of the take-up.
///
/// The friction gradient holds until friction has changed by half of what it is at vanishing slip,
/// and friction stays there beyond (assumption of this tool: a measured gradient belongs to the
/// slip speeds of a take-up, and friction does not vanish). Throws InputError as clutch_model().
[[nodiscard]] FrictionFaces clutch_faces(const Vehicle& vehicle, const TakeUp& take_up);

}  // namespace damper
