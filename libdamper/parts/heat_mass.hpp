// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/quantity/quantity.hpp"

namespace damper {

/// A plate that facings rub on, as far as heat goes.
struct HeatMass {
    Mass mass;  ///< What warms up in a start or between two. > 0
    SpecificHeat specific_heat;
    Conductivity conductivity;  ///< With density and specific heat: how hot the face gets.
    Density density;
    Conductance cooling;  ///< Heat flow to the housing's air per degree above it.
};

}  // namespace damper
