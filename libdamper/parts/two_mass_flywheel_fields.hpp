// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/field.hpp"
#include "libdamper/parts/two_mass_flywheel.hpp"

namespace damper {

template <>
struct PartTable<ArcStage> {
    static constexpr std::string_view noun = "an arc spring stage";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = ArcStage;
        return std::tuple{
            field("name", &P::name, any(), otherwise("stage"), "Name of the stage"),
            field("stiffness", &P::stiffness, above("0 N m/deg", "10000 N m/deg"), required,
                  "Torsional stiffness on the drive side"),
            field("coast_stiffness", &P::coast_stiffness, within("0 N m/deg", "10000 N m/deg"),
                  otherwise("0 N m/deg"), "The same on the coast side; 0: as the drive side"),
            field("drive_end", &P::drive_end, above("0 deg", "180 deg"), required,
                  "Twist of the flywheel at which the stage ends, drive side"),
            field("coast_end", &P::coast_end, above("0 deg", "180 deg"), required,
                  "The same on the coast side, positive"),
            field("springs", &P::springs, within("0", "16"), otherwise("0"),
                  "Number of equal arc springs; 0: not stated"),
            field("springs_broken", &P::springs_broken, within("0", "16"), otherwise("0"),
                  "How many arc springs carry nothing"),
        };
    }
};

template <>
struct PartTable<TwoMassFlywheel> {
    static constexpr std::string_view noun = "a two-mass flywheel";
    static constexpr std::string_view folder = "flywheels";
    static auto fields() {
        using P = TwoMassFlywheel;
        return std::tuple{
            field("title", &P::title, any(), otherwise("two-mass flywheel without title"),
                  "Name for people"),
            field("origin", &P::origin, any(), otherwise("not stated"),
                  "Where the numbers come from"),
            field("primary_inertia", &P::primary_inertia, above("0 kg m2", "20 kg m2"), required,
                  "What turns with the crankshaft"),
            field("secondary_inertia", &P::secondary_inertia, above("0 kg m2", "20 kg m2"),
                  required, "Clutch side, clutch cover included"),
            field("free_angle", &P::free_angle, within("0 deg", "90 deg"), otherwise("0 deg"),
                  "Whole twist without spring force, from side to side"),
            field("stages", &P::stages, entries(1, 4), required,
                  "Stages of the arc springs from soft to stiff"),
            field("stop_stiffness", &P::stop_stiffness, above("0 N m/deg", "100000 N m/deg"),
                  required, "Of the stops at the end of the last stage"),
            field("base_hysteresis", &P::base_hysteresis, within("0 N m", "500 N m"), required,
                  "Full loop width inside the free angle"),
            field("arc_hysteresis", &P::arc_hysteresis, within("0 N m", "1000 N m"), required,
                  "Full loop width on the arc springs, turning slowly"),
            field("arc_hysteresis_growth", &P::arc_hysteresis_growth, within("0 N m", "2000 N m"),
                  otherwise("0 N m"),
                  "By how much that is wider at arc_reference_speed; grows with its square"),
            field("arc_reference_speed", &P::arc_reference_speed, within("100 rpm", "10000 rpm"),
                  otherwise("2000 rpm"), "Speed that arc_hysteresis_growth belongs to"),
            field("friction_factor", &P::friction_factor, within("0", "10"), otherwise("1"),
                  "Wear or lost grease: multiplies every hysteresis; 1: new"),
            field("friction_grip", &P::friction_grip, within("1", "10000"), otherwise("50"),
                  "Stiffness of sticking friction over that of its stage"),
            field("damping", &P::damping, within("0 N m s/rad", "1000 N m s/rad"),
                  otherwise("0 N m s/rad"), "Viscous damping across the whole flywheel"),
        };
    }
};

}  // namespace damper
