// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/axle.hpp"
#include "libdamper/parts/disc.hpp"
#include "libdamper/parts/engine.hpp"
#include "libdamper/parts/gearbox.hpp"
#include "libdamper/quantity/quantity.hpp"

#include <string>

namespace damper {

/// Mass and resistance of the whole vehicle.
struct Body {
    Mass mass;  ///< As driven, load included.
    Area frontal_area;
    Ratio drag_coefficient;
    Ratio driven_load_share;  ///< Share of the weight on the driven wheels.
};

/// The clutch apart from its disc.
struct ReleaseGear {
    Torque drag;  ///< Left between flywheel and disc when released.
};

/// A vehicle: the parts that matter to its driveline.
struct Vehicle {
    std::string title;
    std::string origin;
    std::string vehicle_class;  ///< "car", "light van", "medium truck", "heavy truck".
    Engine engine;
    Disc disc;
    Gearbox gearbox;
    Axle axle;
    Tyre tyre;
    Body body;
    ReleaseGear release;
};

}  // namespace damper
