// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/quantity/quantity.hpp"

#include <string>

namespace damper {

/// Gearbox oil by two points of its viscosity.
struct Oil {
    std::string title;
    std::string origin;
    KinematicViscosity viscosity_40;   ///< At 40 degC.
    KinematicViscosity viscosity_100;  ///< At 100 degC; smaller than at 40 degC.
};

}  // namespace damper
