// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/modes_record.hpp"

#include <cstddef>
#include <string>

namespace damper {

/// Orders of the engine over its speed, and the natural frequencies they meet: frequency upwards
/// (logarithmic), engine speed to the right. On the right one ladder a gear with a rung at each of
/// its modes; a dot where the firing order meets a mode inside the engine's range.
[[nodiscard]] std::string svg_interference(const ModesRecord& record);

/// One mode drawn on the driveline. Below, the inertias as discs along the line, as tall as the
/// fourth root of their inertia seen from the engine, the shafts between them as thick as their
/// share of the twist energy. Above, how far each swings, seen from the engine (angle over its mean
/// speed), so that turning as a whole would be a level line; a second line where left and right
/// differ.
[[nodiscard]] std::string svg_mode(const GearModes& gear, std::size_t mode);

}  // namespace damper
