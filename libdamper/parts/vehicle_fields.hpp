// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/axle_fields.hpp"
#include "libdamper/parts/cover_fields.hpp"
#include "libdamper/parts/disc_fields.hpp"
#include "libdamper/parts/engine_fields.hpp"
#include "libdamper/parts/facing_fields.hpp"
#include "libdamper/parts/field.hpp"
#include "libdamper/parts/flywheel_fields.hpp"
#include "libdamper/parts/gearbox_fields.hpp"
#include "libdamper/parts/mounts_fields.hpp"
#include "libdamper/parts/two_mass_flywheel_fields.hpp"
#include "libdamper/parts/vehicle.hpp"

namespace damper {

template <>
struct PartTable<Body> {
    static constexpr std::string_view noun = "a body";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = Body;
        return std::tuple{
            field("mass", &P::mass, within("100 kg", "100000 kg"), required,
                  "Vehicle as driven, load included"),
            field("frontal_area", &P::frontal_area, within("0.1 m2", "50 m2"), required,
                  "Area that meets the air"),
            field("drag_coefficient", &P::drag_coefficient, within("0", "3"), required,
                  "Air drag coefficient"),
            field("driven_load_share", &P::driven_load_share, above("0", "1"), required,
                  "Share of the weight on the driven wheels"),
        };
    }
};

template <>
struct PartTable<ReleaseGear> {
    static constexpr std::string_view noun = "a release gear";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = ReleaseGear;
        return std::tuple{
            field("drag", &P::drag, within("0 N m", "1000 N m"), required,
                  "Drag left between flywheel and disc when released"),
            field("bearing_travel", &P::bearing_travel, within("0 mm", "40 mm"), otherwise("0 mm"),
                  "Travel of the release bearing at full pedal, play taken off; 0: the cover's "
                  "rated travel"),
            field("bearing_preload", &P::bearing_preload, within("0 N", "5000 N"), otherwise("0 N"),
                  "On the release bearing with the pedal up"),
            field("pedal_ratio", &P::pedal_ratio, within("0", "200"), otherwise("0"),
                  "Pedal travel over bearing travel; 0: not stated"),
            field("efficiency", &P::efficiency, above("0", "1"), otherwise("0.8"),
                  "Of the way from pedal to bearing"),
        };
    }
};

template <>
struct PartTable<Vehicle> {
    static constexpr std::string_view noun = "a vehicle";
    static constexpr std::string_view folder = "vehicles";
    static auto fields() {
        using P = Vehicle;
        return std::tuple{
            field("title", &P::title, any(), required, "Name for people"),
            field("origin", &P::origin, any(), otherwise("not stated"),
                  "Where the numbers come from"),
            field("class", &P::vehicle_class,
                  one_of({"car", "light van", "medium truck", "heavy truck"}), required,
                  "Class of the vehicle, decides about limits"),
            field("engine", &P::engine, any(), required, "Engine with flywheel and cover"),
            field("disc", &P::disc, any(), required, "Clutch disc with its damper"),
            field("gearbox", &P::gearbox, any(), required, "Gearbox"),
            field("axle", &P::axle, any(), required, "From gearbox output to the wheels"),
            field("tyre", &P::tyre, any(), required, "One driven wheel with its tyre"),
            field("body", &P::body, any(), required, "Mass and resistance"),
            field("release", &P::release, any(), required, "The clutch apart from its disc"),
            field("cover", &P::cover, any(), may_be_absent, "Diaphragm spring and pressure plate"),
            field("facing", &P::facing, any(), may_be_absent, "Facings of the disc"),
            field("flywheel", &P::flywheel, any(), may_be_absent,
                  "Faces of the flywheel and what takes heat"),
            field("two_mass_flywheel", &P::two_mass_flywheel, any(), may_be_absent,
                  "Flywheel of two masses in place of the engine's solid one"),
            field("mounts", &P::mounts, any(), may_be_absent,
                  "Mounts of engine and gearbox against roll; absent: no roll"),
        };
    }
};

}  // namespace damper
