// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/vehicle.hpp"

namespace damper {

/// Upper end of the engine speeds in use: the engine's own `top_speed`, else what is usual for the
/// class of vehicle: car 6000 rpm, light van 4500, medium truck 2800, heavy truck 2200 (common
/// practice, no source).
[[nodiscard]] AngularSpeed top_speed_of(const Vehicle& vehicle);

}  // namespace damper
