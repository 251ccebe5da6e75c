// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/field.hpp"
#include "libdamper/parts/mounts.hpp"

namespace damper {

template <>
struct PartTable<Mounts> {
    static constexpr std::string_view noun = "mounts";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = Mounts;
        return std::tuple{
            field("roll_inertia", &P::roll_inertia, within("0.1 kg m2", "2000 kg m2"), required,
                  "Of engine and gearbox about their roll axis"),
            field("roll_stiffness", &P::roll_stiffness, within("100 N m/rad", "1e8 N m/rad"),
                  required, "Of all mounts together against roll"),
            field("damping", &P::damping, within("0 N m s/rad", "1e6 N m s/rad"), required,
                  "Of all mounts together against roll"),
            field("torque_share", &P::torque_share, above("0", "1"), otherwise("1"),
                  "Turn about the shafts' axis per turn about the roll axis"),
            field("drive_stop", &P::drive_stop, within("0 deg", "45 deg"), otherwise("0 deg"),
                  "Roll at which a mount meets its stop, drive side; 0: none"),
            field("coast_stop", &P::coast_stop, within("0 deg", "45 deg"), otherwise("0 deg"),
                  "The same on the coast side, positive; 0: none"),
            field("stop_stiffness", &P::stop_stiffness, within("0 N m/rad", "1e9 N m/rad"),
                  otherwise("0 N m/rad"), "Roll stiffness on a stop"),
            field("stiffness_factor", &P::stiffness_factor, above("0", "10"), otherwise("1"),
                  "Torn or aged: multiplies the roll stiffness; 1: sound"),
            field("free_play", &P::free_play, within("0 deg", "30 deg"), otherwise("0 deg"),
                  "Torn: whole roll without any force"),
        };
    }
};

}  // namespace damper
