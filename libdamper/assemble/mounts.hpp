// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/parts/vehicle.hpp"

#include <string>
#include <vector>

namespace damper {

// The power unit on its mounts: one inertia, "power unit", held against the ground by one element,
// "mounts", whose twist is the roll that a driving torque makes. What has its bearings in the power
// unit turns relative to it, so that its rows get an entry for the power unit's own angle; the sum
// of all of them is the reaction of the torque that leaves the unit.
//
// Left out, all small against the shafts' torques: reactions of the gearbox's drags and loose
// gears, and what the roll does to the vehicle's fore-and-aft motion.

/// Adds the power unit if the vehicle has mounts.
void add_power_unit(Assembled& out, const Vehicle& vehicle);

/// Lets the torques on the engine, those of its cylinders and of the starter, lean on the power
/// unit. To be called when all inputs are there; does nothing without mounts.
void lean_on_power_unit(Assembled& out);

/// Row of an element whose bearings are in the power unit: `factor` is how much its twist changes
/// when the power unit and all that turns in it turn by one radian, but for what is in the row
/// already. Unchanged without mounts.
[[nodiscard]] std::vector<RowEntry> in_power_unit(const Assembled& out, std::vector<RowEntry> row,
                                                  double factor);

}  // namespace damper
