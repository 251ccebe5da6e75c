// SPDX-License-Identifier: MIT
#include "libdamper/elements/viscosity.hpp"

#include "libdamper/base/error.hpp"

#include <cmath>

namespace damper {

namespace {

constexpr double per_mm2 = 1e6;  // m²/s → mm²/s
constexpr double shift = 0.7;    // mm²/s, ASTM D341

double double_log(double viscosity) {
    return std::log10(std::log10(viscosity * per_mm2 + shift));
}

}  // namespace

ViscosityLine::ViscosityLine(double cold_temperature, double cold_viscosity, double hot_temperature,
                             double hot_viscosity) {
    constexpr double thinnest = 2e-6;
    if (!(cold_temperature > 0.0) || !(hot_temperature > cold_temperature) ||
        !(hot_viscosity >= thinnest) || !(cold_viscosity > hot_viscosity) ||
        !std::isfinite(cold_viscosity) || !std::isfinite(hot_temperature)) {
        throw ModelError("an oil needs two temperatures and must be thinner at the higher one");
    }
    b_ = (double_log(cold_viscosity) - double_log(hot_viscosity)) /
         (std::log10(hot_temperature) - std::log10(cold_temperature));
    a_ = double_log(cold_viscosity) + b_ * std::log10(cold_temperature);
}

double ViscosityLine::at(double temperature) const {
    const double power = std::pow(10.0, a_ - b_ * std::log10(temperature));
    return (std::pow(10.0, power) - shift) / per_mm2;
}

}  // namespace damper
