// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/parts/vehicle.hpp"

namespace damper {

/// Adds an inertia to the line and returns its index.
int add_mass(Driveline& line, std::string name, double inertia, double speed);

/// Adds an element made of one law and returns its index.
int add_element(Driveline& line, std::string name, std::string kind, std::vector<RowEntry> row,
                Law law);

/// Engine, disc and input shaft, as every manoeuvre needs them. With the clutch closed the facings
/// turn with the engine; released, they hang on the gearbox side behind the drag that is left.
/// With mounts the power unit is added as well; with a two-mass flywheel the facings turn with its
/// secondary side.
struct ClutchSide {
    double engine_speed = 0.0;  ///< Reference speed [rad/s].
    double input_speed = 0.0;   ///< Of the gearbox side [rad/s].
    bool closed = true;
    /// Of the engine over the manoeuvre: sets the friction of arc springs [rad/s]; 0: as at the
    /// start.
    double mean_speed = 0.0;
};
void add_clutch_side(Assembled& out, const Vehicle& vehicle, const ClutchSide& at);

/// A loose gear in mesh with a shaft, its play and its drag.
/// `ratio` is its speed over the speed of the inertia `driver`.
void add_loose_gear(Assembled& out, const Vehicle& vehicle, const GearPair& gear, int driver,
                    double ratio, double ratio_to_input, double oil_temperature);

}  // namespace damper
