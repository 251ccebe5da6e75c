// SPDX-License-Identifier: MIT
#include "libdamper/elements/crank_torque.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace damper {

namespace {

constexpr double pi = std::numbers::pi;
constexpr int cycle_points = 2880;                  // a quarter of a degree
constexpr int half_orders = 32;                     // harmonics up to order 16
constexpr double valve_opens = 140.0 / 180.0 * pi;  // exhaust; common practice, no source
constexpr double negligible = 1e-5;                 // of the largest harmonic

double volume(const CrankGeometry& g, double area, double angle) {
    const double swept = area * g.stroke;
    return swept / (g.compression_ratio - 1.0) + area * piston_motion(g, angle).travel;
}

/// Rate of the burnt share over crank angle.
double burn_rate(const Burning& b, double angle) {
    const double y = (angle - b.start) / b.duration;
    if (y <= 0.0 || y >= 1.0) return 0.0;
    const double power = std::pow(y, b.shape);
    return b.completeness * (b.shape + 1.0) * power * std::exp(-b.completeness * power * y) /
           b.duration;
}

struct Pressures {
    double motored = 0.0;
    double per_heat = 0.0;
};

/// Slope of both pressures over crank angle.
Pressures slope(const CrankGeometry& g, const Burning& b, double area, double angle,
                const Pressures& p) {
    const double n = angle < b.start ? b.compression_exponent : b.expansion_exponent;
    const double v = volume(g, area, angle);
    const double dv = area * piston_motion(g, angle).slope;
    return {.motored = -n * p.motored * dv / v,
            .per_heat = -n * p.per_heat * dv / v + (n - 1.0) * burn_rate(b, angle) / v};
}

/// One classical Runge–Kutta step; a quarter degree is far finer than the burn law needs.
Pressures advance(const CrankGeometry& g, const Burning& b, double area, double angle, double h,
                  const Pressures& p) {
    const auto moved = [](const Pressures& from, const Pressures& by, double factor) {
        return Pressures{from.motored + factor * by.motored, from.per_heat + factor * by.per_heat};
    };
    const Pressures k1 = slope(g, b, area, angle, p);
    const Pressures k2 = slope(g, b, area, angle + 0.5 * h, moved(p, k1, 0.5 * h));
    const Pressures k3 = slope(g, b, area, angle + 0.5 * h, moved(p, k2, 0.5 * h));
    const Pressures k4 = slope(g, b, area, angle + h, moved(p, k3, h));
    return {p.motored + h / 6.0 * (k1.motored + 2 * k2.motored + 2 * k3.motored + k4.motored),
            p.per_heat + h / 6.0 * (k1.per_heat + 2 * k2.per_heat + 2 * k3.per_heat + k4.per_heat)};
}

/// Pressures after the exhaust valve opens: a straight fall to the exhaust pressure at bottom
/// dead centre, then exhaust and intake strokes at constant pressure.
Pressures gas_exchange(const Burning& b, double angle, const Pressures& at_opening) {
    if (angle < pi) {
        const double left = (pi - angle) / (pi - valve_opens);
        return {b.exhaust_pressure + left * (at_opening.motored - b.exhaust_pressure),
                left * at_opening.per_heat};
    }
    return {angle < 2.0 * pi ? b.exhaust_pressure : b.intake_pressure, 0.0};
}

double mean(const std::vector<double>& values) {
    return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

void check(const CylinderSet& engine) {
    const std::size_t n = engine.firing_angles.size();
    if (n == 0 || engine.gains.size() != n) {
        throw ModelError("an engine needs as many gains as firing angles, at least one");
    }
    if (!(2.0 * engine.geometry.rod_length > engine.geometry.stroke) ||
        !(engine.geometry.compression_ratio > 1.0) || !(engine.burning.duration > 0.0)) {
        throw ModelError("rod length, compression ratio or burn duration is impossible");
    }
}

/// Heat per cylinder with gain 1, for the mean torque wanted [J].
double heat_for(const CylinderSet& engine, const GasTorque& gas, double mean_torque) {
    const double per_cylinder_motored = mean(gas.motored);
    const double per_cylinder_per_heat = mean(gas.per_heat);
    const auto n = static_cast<double>(engine.gains.size());
    const double gains = std::accumulate(engine.gains.begin(), engine.gains.end(), 0.0);
    const double heat = (mean_torque - n * per_cylinder_motored) / (gains * per_cylinder_per_heat);
    if (!std::isfinite(heat) || heat < 0.0) {
        throw ModelError(
            "the asked mean torque needs less heat than none; check the friction "
            "torque and the cylinder pressures");
    }
    return heat;
}

}  // namespace

PistonMotion piston_motion(const CrankGeometry& g, double angle) {
    const double r = 0.5 * g.stroke;
    const double lambda = r / g.rod_length;
    const double s = std::sin(angle);
    const double c = std::cos(angle);
    const double root = std::sqrt(1.0 - lambda * lambda * s * s);
    const double c2 = c * c - s * s;
    return {.travel = r * (1.0 - c) + g.rod_length * (1.0 - root),
            .slope = r * (s + lambda * s * c / root),
            .curvature = r * (c + lambda * c2 / root +
                              lambda * lambda * lambda * s * s * c * c / (root * root * root))};
}

double inertia_torque(const CrankGeometry& geometry, double angle, double speed) {
    const PistonMotion x = piston_motion(geometry, angle);
    return -geometry.reciprocating_mass * speed * speed * x.slope * x.curvature;
}

GasTorque gas_torque(const CrankGeometry& g, const Burning& b) {
    GasTorque gas;
    gas.first_angle = -pi;
    gas.step = 4.0 * pi / cycle_points;
    const double area = 0.25 * pi * g.bore * g.bore;
    Pressures p{.motored = b.intake_pressure, .per_heat = 0.0};
    Pressures at_opening;
    for (int i = 0; i < cycle_points; ++i) {
        const double angle = gas.first_angle + i * gas.step;
        if (angle < valve_opens) {
            at_opening = p;
        } else {
            p = gas_exchange(b, angle, at_opening);
        }
        const double arm = area * piston_motion(g, angle).slope;
        gas.motored.push_back((p.motored - b.ambient_pressure) * arm);
        gas.per_heat.push_back(p.per_heat * arm);
        if (angle < valve_opens) p = advance(g, b, area, angle, gas.step, p);
    }
    return gas;
}

CrankTorque engine_torque(const CylinderSet& engine, double speed, double mean_torque) {
    check(engine);
    const GasTorque gas = gas_torque(engine.geometry, engine.burning);
    const double heat = heat_for(engine, gas, mean_torque);

    // Harmonics of one cylinder, then turned by each cylinder's firing angle.
    CrankTorque torque{.mean = mean_torque, .harmonics = {}};
    double largest = 0.0;
    for (int k = 1; k <= half_orders; ++k) {
        const double order = 0.5 * k;
        double common_c = 0.0, common_s = 0.0, heat_c = 0.0, heat_s = 0.0;
        for (int i = 0; i < cycle_points; ++i) {
            const double angle = gas.first_angle + i * gas.step;
            const auto at = static_cast<std::size_t>(i);
            const double common = gas.motored[at] + inertia_torque(engine.geometry, angle, speed);
            const double c = std::cos(order * angle) * 2.0 / cycle_points;
            const double s = std::sin(order * angle) * 2.0 / cycle_points;
            common_c += common * c;
            common_s += common * s;
            heat_c += gas.per_heat[at] * c;
            heat_s += gas.per_heat[at] * s;
        }
        CrankHarmonic sum{.order = order};
        for (std::size_t j = 0; j < engine.gains.size(); ++j) {
            const double q = heat * engine.gains[j];
            const double c = common_c + q * heat_c;
            const double s = common_s + q * heat_s;
            const double turn = order * engine.firing_angles[j];
            sum.cosine += c * std::cos(turn) - s * std::sin(turn);
            sum.sine += c * std::sin(turn) + s * std::cos(turn);
        }
        largest = std::max(largest, std::hypot(sum.cosine, sum.sine));
        torque.harmonics.push_back(sum);
    }
    std::erase_if(torque.harmonics, [&](const CrankHarmonic& h) {
        return std::hypot(h.cosine, h.sine) < negligible * largest;
    });
    return torque;
}

}  // namespace damper
