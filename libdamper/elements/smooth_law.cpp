// SPDX-License-Identifier: MIT
#include "libdamper/elements/smooth_law.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

double torque_of(const RoadLoad& load, double rate, double /*reference*/) {
    return load.rolling * std::tanh(rate / load.standstill) + load.grade +
           load.air * rate * std::abs(rate);
}

double damping_of(const RoadLoad& load, double rate, double /*reference*/) {
    const double slope = 1.0 / std::cosh(std::min(std::abs(rate) / load.standstill, 300.0));
    return load.rolling / load.standstill * slope * slope + 2.0 * load.air * std::abs(rate);
}

double road_speed(const TyreSlip& tyre, double reference) {
    return std::max(tyre.radius * std::abs(reference), tyre.lowest_speed);
}

double torque_of(const TyreSlip& tyre, double rate, double reference) {
    const double slip = tyre.radius * rate / road_speed(tyre, reference);
    return tyre.radius * tyre.grip * std::tanh(tyre.slip_stiffness * slip / tyre.grip);
}

double damping_of(const TyreSlip& tyre, double rate, double reference) {
    const double v = road_speed(tyre, reference);
    const double share = tyre.slip_stiffness * tyre.radius * rate / (v * tyre.grip);
    const double slope = 1.0 / std::cosh(std::min(std::abs(share), 300.0));
    return tyre.slip_stiffness * tyre.radius * tyre.radius / v * slope * slope;
}

}  // namespace

double torque(const SmoothLaw& law, double rate, double reference) {
    return std::visit([&](const auto& l) { return torque_of(l, rate, reference); }, law);
}

double damping(const SmoothLaw& law, double rate, double reference) {
    return std::visit([&](const auto& l) { return damping_of(l, rate, reference); }, law);
}

std::string kind(const SmoothLaw& law) {
    return std::holds_alternative<RoadLoad>(law) ? "road load" : "tyre slip";
}

std::vector<std::pair<std::string, double>> parameters(const SmoothLaw& law) {
    if (const auto* load = std::get_if<RoadLoad>(&law)) {
        return {{"rolling", load->rolling},
                {"grade", load->grade},
                {"air", load->air},
                {"standstill", load->standstill}};
    }
    const auto& tyre = std::get<TyreSlip>(law);
    return {{"slip_stiffness", tyre.slip_stiffness},
            {"grip", tyre.grip},
            {"radius", tyre.radius},
            {"lowest_speed", tyre.lowest_speed}};
}

}  // namespace damper
