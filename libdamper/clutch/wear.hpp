// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/clutch/diaphragm.hpp"

namespace damper {

/// How far the pressure plate may follow the wear of the facings, from the deflection at which the
/// spring is clamped, before its load first falls below `least` [m]. 0 if it is below already; the
/// whole deflection if `least` is 0 or less.
///
/// Wear lets the spring relax. A diaphragm spring that is set beyond its peak first gains load.
[[nodiscard]] double wear_until(const DiaphragmSpring& spring, double deflection, double least);

/// What is known of a spring up to a tolerance ±.
struct SpringTolerance {
    double thickness = 0.0;    ///< [m]
    double cone_height = 0.0;  ///< [m]
    double deflection = 0.0;   ///< [m]
    double modulus = 0.0;      ///< Share of it.
};

/// A load with its band.
struct LoadBand {
    double nominal = 0.0;
    double root_sum_low = 0.0, root_sum_high = 0.0;  ///< Root of the sum of squares.
    double worst_low = 0.0, worst_high = 0.0;        ///< All tolerances at their ends.
};

/// Spring load at a deflection with its band [N]. For the root sum each value is moved alone to
/// both ends; what it makes downwards and upwards is squared and summed on its own side, as if the
/// values scattered independently. For the worst case all combinations of ends are tried.
[[nodiscard]] LoadBand load_band(const DiaphragmSpring& spring, double deflection,
                                 const SpringTolerance& tolerance);

}  // namespace damper
