// SPDX-License-Identifier: MIT
#include "libdamper/elements/crank_torque.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <boost/math/interpolators/makima.hpp>
#include <cmath>
#include <complex>
#include <numbers>
#include <numeric>
#include <utility>

namespace damper {

namespace {

constexpr double pi = std::numbers::pi;
constexpr int cycle_points = 2880;  // a quarter of a degree
constexpr int turn_points = cycle_points / 2;
constexpr double grid = 4.0 * pi / cycle_points;    // from −180° on
constexpr int half_orders = 32;                     // harmonics up to order 16
constexpr double valve_opens = 140.0 / 180.0 * pi;  // exhaust; common practice, no source
constexpr double negligible = 1e-5;                 // of the largest harmonic

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

double inertia_torque_of(const CrankGeometry& geometry, const PistonMotion& x, double speed) {
    return -geometry.reciprocating_mass * speed * speed * x.slope * x.curvature;
}

/// The piston over one turn of the grid; the second turn of the cycle repeats it.
std::vector<PistonMotion> one_turn(const CrankGeometry& geometry) {
    std::vector<PistonMotion> turn;
    turn.reserve(turn_points);
    for (int i = 0; i < turn_points; ++i) turn.push_back(piston_motion(geometry, -pi + i * grid));
    return turn;
}

/// What the pressures' slope over crank angle needs to know of an angle.
struct Place {
    double volume = 0.0;   ///< [m³]
    double opening = 0.0;  ///< Slope of the volume over crank angle [m³/rad].
    double exponent = 0.0;
    double burning = 0.0;  ///< Rate of the burnt share [1/rad].
};

Place place_at(const CrankGeometry& g, const Burning& b, double area, double angle,
               const PistonMotion& piston) {
    return {.volume = area * g.stroke / (g.compression_ratio - 1.0) + area * piston.travel,
            .opening = area * piston.slope,
            .exponent = angle < b.start ? b.compression_exponent : b.expansion_exponent,
            .burning = burn_rate(b, angle)};
}

Pressures slope(const Place& at, const Pressures& p) {
    return {
        .motored = -at.exponent * p.motored * at.opening / at.volume,
        .per_heat = (-at.exponent * p.per_heat * at.opening + (at.exponent - 1.0) * at.burning) /
                    at.volume};
}

/// One classical Runge–Kutta step; a quarter degree is far finer than the burn law needs.
Pressures advance(const Place& from, const Place& middle, const Place& to, double h,
                  const Pressures& p) {
    const auto moved = [](const Pressures& start, const Pressures& by, double factor) {
        return Pressures{start.motored + factor * by.motored,
                         start.per_heat + factor * by.per_heat};
    };
    const Pressures k1 = slope(from, p);
    const Pressures k2 = slope(middle, moved(p, k1, 0.5 * h));
    const Pressures k3 = slope(middle, moved(p, k2, 0.5 * h));
    const Pressures k4 = slope(to, moved(p, k3, h));
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

GasTorque gas_torque_on(const std::vector<PistonMotion>& turn, const CrankGeometry& g,
                        const Burning& b) {
    GasTorque gas;
    gas.first_angle = -pi;
    gas.step = grid;
    gas.motored.reserve(cycle_points);
    gas.per_heat.reserve(cycle_points);
    const double area = 0.25 * pi * g.bore * g.bore;
    const auto piston = [&](int i) { return turn[static_cast<std::size_t>(i % turn_points)]; };
    Pressures p{.motored = b.intake_pressure, .per_heat = 0.0};
    Pressures at_opening;
    Place here = place_at(g, b, area, gas.first_angle, piston(0));
    for (int i = 0; i < cycle_points; ++i) {
        const double angle = gas.first_angle + i * grid;
        if (angle < valve_opens) {
            at_opening = p;
        } else {
            p = gas_exchange(b, angle, at_opening);
        }
        const double arm = area * piston(i).slope;
        gas.motored.push_back((p.motored - b.ambient_pressure) * arm);
        gas.per_heat.push_back(p.per_heat * arm);
        if (!(angle < valve_opens)) continue;
        const double middle = angle + 0.5 * grid;
        const Place there = place_at(g, b, area, gas.first_angle + (i + 1) * grid, piston(i + 1));
        p = advance(here, place_at(g, b, area, middle, piston_motion(g, middle)), there, grid, p);
        here = there;
    }
    return gas;
}

double mean(const std::vector<double>& values) {
    return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

/// One wave, cosine and sine, on the points of a cycle; scaled for harmonics.
std::vector<std::complex<double>> one_wave() {
    std::vector<std::complex<double>> wave;
    wave.reserve(cycle_points);
    for (int i = 0; i < cycle_points; ++i) {
        wave.push_back(std::polar(2.0 / cycle_points, 0.5 * grid * i));
    }
    return wave;
}

/// Cosine and sine of the order `times`/2 in `values` on the points of a cycle.
std::complex<double> harmonic(const std::vector<double>& values,
                              const std::vector<std::complex<double>>& wave, int times) {
    double c = 0.0;
    double s = 0.0;
    // The order at point i is the wave at i times that many points, less as many quarters of the
    // cycle, because the points begin at −180°.
    int at = cycle_points / 4 * (4 - times % 4) % cycle_points;
    for (const double value : values) {
        const std::complex<double>& w = wave[static_cast<std::size_t>(at)];
        c += value * w.real();
        s += value * w.imag();
        at += times;
        if (at >= cycle_points) at -= cycle_points;
    }
    return {c, s};
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
    const double motored = n * per_cylinder_motored;
    constexpr double rounding = 1e-12;  // of the torques themselves
    if (std::abs(mean_torque - motored) <= rounding * std::abs(motored)) return 0.0;
    const double heat = (mean_torque - motored) / (gains * per_cylinder_per_heat);
    if (!std::isfinite(heat) || heat < 0.0) {
        throw ModelError(
            "the asked mean torque needs less heat than none; check the friction "
            "torque and the cylinder pressures");
    }
    return heat;
}

/// What one cylinder does, turned by each cylinder's firing angle: `common` of all [N m], and
/// `per_heat` times heat and gain of each. Without a mean.
CrankTorque sum_of_cylinders(const std::vector<double>& common, const std::vector<double>& per_heat,
                             double heat, const CylinderSet& engine) {
    CrankTorque torque;
    const std::vector<std::complex<double>> wave = one_wave();
    double largest = 0.0;
    for (int k = 1; k <= half_orders; ++k) {
        const double order = 0.5 * k;
        const std::complex<double> of_common = harmonic(common, wave, k);
        const std::complex<double> of_heat = harmonic(per_heat, wave, k);
        CrankHarmonic sum{.order = order};
        for (std::size_t j = 0; j < engine.gains.size(); ++j) {
            const double q = heat * engine.gains[j];
            const double c = of_common.real() + q * of_heat.real();
            const double s = of_common.imag() + q * of_heat.imag();
            const double later = order * engine.firing_angles[j];
            sum.cosine += c * std::cos(later) - s * std::sin(later);
            sum.sine += c * std::sin(later) + s * std::cos(later);
        }
        largest = std::max(largest, std::hypot(sum.cosine, sum.sine));
        torque.harmonics.push_back(sum);
    }
    std::erase_if(torque.harmonics, [&](const CrankHarmonic& h) {
        return std::hypot(h.cosine, h.sine) < negligible * largest;
    });
    return torque;
}

/// The pressure of a measured cycle on the points of the grid [Pa].
std::vector<double> on_grid(const MeasuredCycle& cycle) {
    const std::size_t n = cycle.angle.size();
    if (n < 4 || cycle.pressure.size() != n) {
        throw ModelError("a measured cycle needs at least four values");
    }
    constexpr double period = cycle_points * grid;
    // Some angles of the cycles before and after, so that the curve goes on around the ends.
    std::vector<double> angle, pressure;
    const std::size_t more = std::min<std::size_t>(n, 8);
    for (std::size_t i = n - more; i < n; ++i) {
        angle.push_back(cycle.angle[i] - period);
        pressure.push_back(cycle.pressure[i]);
    }
    const auto add = [&](double at, double value) {
        if (at - angle.back() < 1e-9 * period) return;  // both ends of the cycle are given
        angle.push_back(at);
        pressure.push_back(value);
    };
    for (std::size_t i = 0; i < n; ++i) add(cycle.angle[i], cycle.pressure[i]);
    for (std::size_t i = 0; i < more; ++i) add(cycle.angle[i] + period, cycle.pressure[i]);
    const double first = cycle.angle.front();
    const boost::math::interpolators::makima<std::vector<double>> curve(std::move(angle),
                                                                        std::move(pressure));
    std::vector<double> out;
    out.reserve(cycle_points);
    for (int i = 0; i < cycle_points; ++i) {
        const double at = -pi + i * grid;
        out.push_back(curve(at - period * std::floor((at - first) / period)));
    }
    return out;
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
    return inertia_torque_of(geometry, piston_motion(geometry, angle), speed);
}

GasTorque gas_torque(const CrankGeometry& geometry, const Burning& burning) {
    return gas_torque_on(one_turn(geometry), geometry, burning);
}

double motored_mean(const CylinderSet& engine) {
    check(engine);
    const GasTorque gas = gas_torque(engine.geometry, engine.burning);
    return static_cast<double>(engine.gains.size()) * mean(gas.motored);
}

CrankTorque engine_torque(const CylinderSet& engine, double speed, double mean_torque) {
    check(engine);
    const std::vector<PistonMotion> turn = one_turn(engine.geometry);
    const GasTorque gas = gas_torque_on(turn, engine.geometry, engine.burning);
    const double heat = heat_for(engine, gas, mean_torque);
    std::vector<double> common = gas.motored;
    for (std::size_t i = 0; i < common.size(); ++i) {
        common[i] += inertia_torque_of(engine.geometry, turn[i % turn.size()], speed);
    }

    CrankTorque torque = sum_of_cylinders(common, gas.per_heat, heat, engine);
    torque.mean = mean_torque;
    return torque;
}

CrankTorque engine_torque(const CrankGeometry& geometry, const MeasuredCycle& cycle,
                          const std::vector<double>& firing_angles, double speed) {
    CylinderSet set;
    set.geometry = geometry;
    set.burning.duration = 1.0;  // nothing of it is used
    set.firing_angles = firing_angles;
    set.gains.assign(firing_angles.size(), 1.0);
    check(set);
    const std::vector<PistonMotion> turn = one_turn(geometry);
    const std::vector<double> pressure = on_grid(cycle);
    const double area = 0.25 * pi * geometry.bore * geometry.bore;
    std::vector<double> torque;
    torque.reserve(cycle_points);
    for (std::size_t i = 0; i < pressure.size(); ++i) {
        const PistonMotion& piston = turn[i % turn.size()];
        torque.push_back((pressure[i] - cycle.ambient_pressure) * area * piston.slope);
    }
    const double of_gas = static_cast<double>(set.gains.size()) * mean(torque);
    for (std::size_t i = 0; i < torque.size(); ++i) {
        torque[i] += inertia_torque_of(geometry, turn[i % turn.size()], speed);
    }
    CrankTorque out = sum_of_cylinders(torque, std::vector<double>(torque.size()), 0.0, set);
    out.mean = of_gas;
    return out;
}

}  // namespace damper
