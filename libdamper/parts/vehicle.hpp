// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/axle.hpp"
#include "libdamper/parts/cover.hpp"
#include "libdamper/parts/disc.hpp"
#include "libdamper/parts/engine.hpp"
#include "libdamper/parts/facing.hpp"
#include "libdamper/parts/flywheel.hpp"
#include "libdamper/parts/gearbox.hpp"
#include "libdamper/parts/mounts.hpp"
#include "libdamper/parts/two_mass_flywheel.hpp"
#include "libdamper/quantity/quantity.hpp"

#include <optional>
#include <string>

namespace damper {

/// Mass and resistance of the whole vehicle.
struct Body {
    Mass mass;  ///< As driven, load included.
    Area frontal_area;
    Ratio drag_coefficient;
    Ratio driven_load_share;  ///< Share of the weight on the driven wheels.
};

/// The clutch apart from its disc, and what works it.
struct ReleaseGear {
    Torque drag;            ///< Left between flywheel and disc when released.
    Length bearing_travel;  ///< At full pedal, play taken off; 0: the cover's rated travel.
    Force bearing_preload;  ///< On the bearing with the pedal up.
    Ratio pedal_ratio;      ///< Pedal travel over bearing travel; 0: not stated.
    Ratio efficiency;       ///< From pedal to bearing.
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
    // What the clutch's faces rest on. Drives without slip do not need them.
    std::optional<Cover> cover;
    std::optional<Facing> facing;
    std::optional<Flywheel> flywheel;
    std::optional<TwoMassFlywheel> two_mass_flywheel;  ///< Absent: the engine's solid one.
    std::optional<Mounts> mounts;                      ///< Absent: the power unit cannot roll.
};

}  // namespace damper
