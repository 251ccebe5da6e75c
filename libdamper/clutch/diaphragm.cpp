// SPDX-License-Identifier: MIT
#include "libdamper/clutch/diaphragm.hpp"

#include <cmath>
#include <numbers>

namespace damper {

namespace {

using std::numbers::pi;

double slope_of(const DiaphragmSpring& s) {
    return (s.outer - s.inner) / (s.outer_circle - s.inner_circle);
}

double scale_of(const DiaphragmSpring& s) {
    const double arm = s.outer_circle - s.inner_circle;
    return s.factor * pi * s.modulus * s.thickness * std::log(s.outer / s.inner) /
           (6.0 * (1.0 - s.poisson * s.poisson) * arm * arm);
}

}  // namespace

double spring_load(const DiaphragmSpring& s, double x) {
    const double a = slope_of(s);
    const double H = s.cone_height;
    const double h = s.thickness;
    return scale_of(s) * x * ((H - a * x) * (H - 0.5 * a * x) + h * h);
}

double spring_rate(const DiaphragmSpring& s, double x) {
    const double a = slope_of(s);
    const double H = s.cone_height;
    const double h = s.thickness;
    return scale_of(s) * (H * H + h * h - 3.0 * H * a * x + 1.5 * a * a * x * x);
}

double spring_energy(const DiaphragmSpring& s, double x) {
    const double a = slope_of(s);
    const double H = s.cone_height;
    const double h = s.thickness;
    return scale_of(s) * x * x * (0.5 * (H * H + h * h) - 0.5 * H * a * x + 0.125 * a * a * x * x);
}

double flat_deflection(const DiaphragmSpring& s) {
    return s.cone_height / slope_of(s);
}

LoadExtremes load_extremes(const DiaphragmSpring& s) {
    const double ratio = s.cone_height / s.thickness;
    if (ratio * ratio <= 2.0) return {};
    const double flat = flat_deflection(s);
    const double away = std::sqrt((ratio * ratio - 2.0) / 3.0) / ratio * flat;
    return {true, flat - away, flat + away};
}

double disc_spring_load(double De, double Di, double t, double h0, double E, double nu, double s) {
    const double d = De / Di;
    const double share = (d - 1.0) / d;
    const double K1 = share * share / pi / ((d + 1.0) / (d - 1.0) - 2.0 / std::log(d));
    const double bracket = (h0 / t - s / t) * (h0 / t - 0.5 * s / t) + 1.0;
    return 4.0 * E / (1.0 - nu * nu) * t * t * t * t / (K1 * De * De) * (s / t) * bracket;
}

}  // namespace damper
