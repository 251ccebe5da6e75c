// SPDX-License-Identifier: MIT
#include "libdamper/clutch/capacity.hpp"

#include <algorithm>
#include <cstddef>
#include <numbers>

namespace damper {

double friction_radius(double outer_diameter, double inner_diameter, PressureSpread spread) {
    const double Ro = 0.5 * outer_diameter;
    const double Ri = 0.5 * inner_diameter;
    if (spread == PressureSpread::uniform_wear) return 0.5 * (Ro + Ri);
    // (Ro³ − Ri³)/(Ro² − Ri²) without the common factor: nothing cancels for a narrow ring.
    return 2.0 / 3.0 * (Ro * Ro + Ro * Ri + Ri * Ri) / (Ro + Ri);
}

double facing_area(double outer_diameter, double inner_diameter) {
    return 0.25 * std::numbers::pi * (outer_diameter - inner_diameter) *
           (outer_diameter + inner_diameter);
}

double torque_capacity(int faces, double friction, double clamp_load, double radius) {
    return faces * friction * clamp_load * radius;
}

double FactorCurve::at(double place) const {
    if (x.empty()) return 1.0;
    const auto above = std::ranges::upper_bound(x, place);
    if (above == x.begin()) return y.front();
    if (above == x.end()) return y.back();
    const auto i = static_cast<std::size_t>(above - x.begin());
    return y[i - 1] + (y[i] - y[i - 1]) * (place - x[i - 1]) / (x[i] - x[i - 1]);
}

}  // namespace damper
