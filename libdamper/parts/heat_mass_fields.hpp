// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/field.hpp"
#include "libdamper/parts/heat_mass.hpp"

namespace damper {

// Defaults are those of grey cast iron, rounded: common practice, no source.

template <>
struct PartTable<HeatMass> {
    static constexpr std::string_view noun = "a plate that takes heat";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = HeatMass;
        return std::tuple{
            field("mass", &P::mass, above("0 kg", "200 kg"), required,
                  "What of the plate warms up in a start"),
            field("specific_heat", &P::specific_heat, within("100 J kg-1 K-1", "2000 J kg-1 K-1"),
                  otherwise("500 J kg-1 K-1"), "Heat per mass and degree"),
            field("conductivity", &P::conductivity, within("1 W m-1 K-1", "500 W m-1 K-1"),
                  otherwise("50 W m-1 K-1"), "Heat conductivity of the material"),
            field("density", &P::density, within("1000 kg/m3", "12000 kg/m3"),
                  otherwise("7200 kg/m3"), "Density of the material"),
            field("cooling", &P::cooling, within("0 W/K", "1000 W/K"), required,
                  "Heat flow to the air in the housing per degree above it, engine idling"),
        };
    }
};

}  // namespace damper
