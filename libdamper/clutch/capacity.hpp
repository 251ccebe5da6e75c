// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

namespace damper {

/// How the pressure is spread over a facing: by a wear that is equal everywhere, as on facings that
/// are run in, or evenly, as on new ones.
enum class PressureSpread { uniform_wear, uniform_pressure };

/// Radius at which all friction may be thought to act [m], from the diameters of the facing [m]:
///
///     uniform wear      (Ro + Ri)/2
///     uniform pressure  (2/3)·(Ro³ − Ri³)/(Ro² − Ri²)
///
/// Source: V. B. Bhandari, Design of Machine Elements, chapter 11. Uniform wear is the smaller one.
[[nodiscard]] double friction_radius(double outer_diameter, double inner_diameter,
                                     PressureSpread spread);

/// Area of one facing [m²].
[[nodiscard]] double facing_area(double outer_diameter, double inner_diameter);

/// T = z·μ·F·R [N m]: torque that z faces hold under the clamp load F.
[[nodiscard]] double torque_capacity(int faces, double friction, double clamp_load, double radius);

/// A curve through points by rising x, straight between them and constant outside. Without points
/// it is 1: a factor that changes nothing.
struct FactorCurve {
    std::vector<double> x;
    std::vector<double> y;
    [[nodiscard]] double at(double place) const;
};

}  // namespace damper
