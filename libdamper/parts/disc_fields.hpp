// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/disc.hpp"
#include "libdamper/parts/field.hpp"

namespace damper {

template <>
struct PartTable<DiscStage> {
    static constexpr std::string_view noun = "a disc stage";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = DiscStage;
        return std::tuple{
            field("name", &P::name, any(), otherwise("stage"), "Name of the stage"),
            field("stiffness", &P::stiffness, above("0 N m/deg", "10000 N m/deg"), required,
                  "Torsional stiffness on the drive side"),
            field("coast_stiffness", &P::coast_stiffness, within("0 N m/deg", "10000 N m/deg"),
                  otherwise("0 N m/deg"), "The same on the coast side; 0: as the drive side"),
            field("drive_end", &P::drive_end, above("0 deg", "90 deg"), required,
                  "Twist of the disc at which the stage ends, drive side"),
            field("coast_end", &P::coast_end, above("0 deg", "90 deg"), required,
                  "Twist of the disc at which the stage ends, coast side, positive"),
            field("hysteresis", &P::hysteresis, within("0 N m", "2000 N m"), required,
                  "Full width of the measured loop inside the stage"),
            field("friction_play", &P::friction_play, within("0 deg", "45 deg"), otherwise("0 deg"),
                  "Twist after a reversal before friction takes hold"),
            field("preload", &P::preload, within("0 N m", "2000 N m"), otherwise("0 N m"),
                  "Extra torque before the stage starts to move"),
            field("friction_factor", &P::friction_factor, within("0", "10"), otherwise("1"),
                  "Wear, rust or heat: multiplies the hysteresis; 1: new"),
            field("springs", &P::springs, within("0", "64"), otherwise("0"),
                  "Number of equal springs; 0: not stated"),
            field("springs_broken", &P::springs_broken, within("0", "64"), otherwise("0"),
                  "How many springs carry nothing"),
        };
    }
};

template <>
struct PartTable<Disc> {
    static constexpr std::string_view noun = "a disc";
    static constexpr std::string_view folder = "discs";
    static auto fields() {
        using P = Disc;
        return std::tuple{
            field("title", &P::title, any(), otherwise("disc without title"), "Name for people"),
            field("origin", &P::origin, any(), otherwise("not stated"),
                  "Where the numbers come from"),
            field("assembly", &P::assembly, one_of({"lumped", "series"}), otherwise("lumped"),
                  "Whether the flange between the stages has an inertia of its own"),
            field("flywheel", &P::flywheel, one_of({"any", "solid", "two-mass"}), otherwise("any"),
                  "Flywheel that the disc is made for"),
            field("facing_inertia", &P::facing_inertia, above("0 kg m2", "5 kg m2"), required,
                  "Facings and side plates"),
            field("flange_inertia", &P::flange_inertia, within("0 kg m2", "5 kg m2"),
                  otherwise("0 kg m2"), "Between first and second stage; used by \"series\""),
            field("hub_inertia", &P::hub_inertia, above("0 kg m2", "5 kg m2"), required,
                  "Hub side, turns with the gearbox input shaft"),
            field("stages", &P::stages, entries(1, 6), required,
                  "Stages of the damper from the inside out"),
            field("stop_stiffness", &P::stop_stiffness, above("0 N m/deg", "100000 N m/deg"),
                  required, "Of the stops at the end of the last stage"),
            field("friction_grip", &P::friction_grip, within("1", "10000"), otherwise("50"),
                  "Stiffness of a sticking friction washer over that of its stage"),
            field("damping", &P::damping, within("0 N m s/rad", "1000 N m s/rad"),
                  otherwise("0 N m s/rad"), "Viscous damping across the whole disc"),
            field("spline_play", &P::spline_play, within("0 deg", "20 deg"), otherwise("0 deg"),
                  "Play of the hub on the shaft"),
        };
    }
};

}  // namespace damper
