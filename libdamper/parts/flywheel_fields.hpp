// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/field.hpp"
#include "libdamper/parts/flywheel.hpp"
#include "libdamper/parts/heat_mass_fields.hpp"

namespace damper {

template <>
struct PartTable<Flywheel> {
    static constexpr std::string_view noun = "a flywheel";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = Flywheel;
        return std::tuple{
            field("face_ground", &P::face_ground, within("0 mm", "10 mm"), otherwise("0 mm"),
                  "Taken off the rubbing face by grinding"),
            field("cover_face_ground", &P::cover_face_ground, within("0 mm", "10 mm"),
                  otherwise("0 mm"), "Taken off the face that the cover is bolted to"),
            field("heat", &P::heat, any(), required, "What of the flywheel takes heat"),
            field("exchange", &P::exchange, within("0 W/K", "1000 W/K"), otherwise("2 W/K"),
                  "Heat flow to the pressure plate per degree between them"),
        };
    }
};

}  // namespace damper
