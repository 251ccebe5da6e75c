// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/field.hpp"
#include "libdamper/parts/gearbox.hpp"
#include "libdamper/parts/oil_fields.hpp"

namespace damper {

template <>
struct PartTable<GearPair> {
    static constexpr std::string_view noun = "a gear pair";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = GearPair;
        return std::tuple{
            field("name", &P::name, any(), required, "Name of the gear, \"1\" or \"R\""),
            field("ratio", &P::ratio, within("0.1", "50"), required,
                  "Input speed over output speed"),
            field("loose_on", &P::loose_on, one_of({"output shaft", "input shaft"}), required,
                  "Shaft on which the loose gear turns"),
            field("loose_inertia", &P::loose_inertia, above("0 kg m2", "10 kg m2"), required,
                  "Of the loose gear at its own shaft"),
            field("backlash", &P::backlash, within("0 mm", "5 mm"), required,
                  "Circumferential play at the pitch radius"),
            field("pitch_radius", &P::pitch_radius, within("5 mm", "500 mm"), required,
                  "Pitch radius of the loose gear"),
            field("drag_constant", &P::drag_constant, within("0 N m", "100 N m"), required,
                  "Drag on the loose gear, part that no speed changes"),
            field("drag_viscous", &P::drag_viscous, within("0 N m", "100 N m"), required,
                  "Drag on the loose gear, viscous part at the reference"),
        };
    }
};

template <>
struct PartTable<Gearbox> {
    static constexpr std::string_view noun = "a gearbox";
    static constexpr std::string_view folder = "gearboxes";
    static auto fields() {
        using P = Gearbox;
        return std::tuple{
            field("title", &P::title, any(), otherwise("gearbox without title"), "Name for people"),
            field("origin", &P::origin, any(), otherwise("not stated"),
                  "Where the numbers come from"),
            field("input_inertia", &P::input_inertia, above("0 kg m2", "20 kg m2"), required,
                  "Input shaft and all that is fixed to it"),
            field("output_inertia", &P::output_inertia, above("0 kg m2", "50 kg m2"), required,
                  "Output shaft and all that is fixed to it"),
            field("gears", &P::gears, entries(1, 32), required, "Gear pairs"),
            field("mesh_stiffness", &P::mesh_stiffness, within("10 N m/rad", "1e10 N m/rad"),
                  required, "Of a tooth contact at the loose gear"),
            field("mesh_damping", &P::mesh_damping, within("0", "5"), required,
                  "Damping ratio of a tooth contact on the loose gear alone"),
            field("shaft_drag_constant", &P::shaft_drag_constant, within("0 N m", "500 N m"),
                  required, "Bearings and seals of the input shaft"),
            field("shaft_drag_viscous", &P::shaft_drag_viscous, within("0 N m", "500 N m"),
                  required, "Churning and oil shear of the input shaft side at the reference"),
            field("drag_speed", &P::drag_speed, within("10 rpm", "10000 rpm"), required,
                  "Input speed to which the viscous parts refer"),
            field("drag_viscosity", &P::drag_viscosity, within("1 mm2/s", "1e5 mm2/s"), required,
                  "Oil viscosity to which the viscous parts refer"),
            field("oil", &P::oil, any(), required, "What is in it"),
        };
    }
};

}  // namespace damper
