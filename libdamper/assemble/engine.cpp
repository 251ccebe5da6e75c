// SPDX-License-Identifier: MIT
#include "libdamper/assemble/engine.hpp"

#include "libdamper/elements/crank_torque.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>
#include <utility>

namespace damper {

namespace {

constexpr double cycle = 4.0 * std::numbers::pi;
constexpr double ambient = 101325.0;         // Pa
constexpr double exhaust_pressure = 1.05e5;  // Pa, common practice, no source

CrankTorque from_table(const Engine& engine, double mean) {
    CrankTorque torque{.mean = mean, .harmonics = {}};
    for (const TorqueHarmonic& h : engine.harmonics) {
        torque.harmonics.push_back({.order = h.order.si(),
                                    .cosine = h.amplitude.si() * std::sin(h.phase.si()),
                                    .sine = h.amplitude.si() * std::cos(h.phase.si())});
    }
    std::sort(torque.harmonics.begin(), torque.harmonics.end(),
              [](const CrankHarmonic& a, const CrankHarmonic& b) { return a.order < b.order; });
    return torque;
}

CrankGeometry geometry_of(const Engine& engine) {
    return {.bore = engine.bore.si(),
            .stroke = engine.stroke.si(),
            .rod_length = engine.rod_length.si(),
            .compression_ratio = engine.compression_ratio.si(),
            .reciprocating_mass = engine.reciprocating_mass.si()};
}

CrankTorque from_trace(const Engine& engine, double speed, double mean) {
    CrankTorque torque = engine_torque(geometry_of(engine),
                                       {.angle = engine.trace.angle,
                                        .pressure = engine.trace.pressure,
                                        .ambient_pressure = ambient},
                                       firing_angles(engine), speed);
    torque.mean = mean;  // what losses and consumers leave of it, as asked for
    return torque;
}

/// Its cylinders at a load 0…1.
CylinderSet cylinders_of(const Engine& engine, double load) {
    const Combustion& c = engine.combustion;
    CylinderSet set;
    set.geometry = geometry_of(engine);
    set.burning = {.intake_pressure = std::lerp(c.intake_pressure.si(), c.full_pressure.si(), load),
                   .exhaust_pressure = exhaust_pressure,
                   .ambient_pressure = ambient,
                   .compression_exponent = c.compression_exponent.si(),
                   .expansion_exponent = c.expansion_exponent.si(),
                   .start = c.start.si(),
                   .duration = c.duration.si(),
                   .shape = c.shape.si(),
                   .completeness = c.completeness.si()};
    set.firing_angles = firing_angles(engine);
    for (std::size_t i = 0; i < set.firing_angles.size(); ++i) {
        set.gains.push_back(engine.cylinder_gains.empty() ? 1.0 : engine.cylinder_gains[i].si());
    }
    return set;
}

/// The least torque at the flywheel that its cylinders can make, burning nothing [N m].
double least_torque(const Engine& engine, double consumers) {
    const double losses = engine.friction_torque.si() + consumers;
    if (engine.torque != "cylinder pressure") return -losses;
    return motored_mean(cylinders_of(engine, 0.0)) - losses;
}

double along(const std::vector<TorquePoint>& curve, double speed) {
    const auto above = std::find_if(curve.begin(), curve.end(), [speed](const TorquePoint& point) {
        return point.speed.si() > speed;
    });
    if (above == curve.begin()) return curve.front().torque.si();
    if (above == curve.end()) return curve.back().torque.si();
    const TorquePoint& below = *std::prev(above);
    const double width = above->speed.si() - below.speed.si();
    return std::lerp(below.torque.si(), above->torque.si(), (speed - below.speed.si()) / width);
}

/// Leaves out the harmonics that are nothing at any speed.
void leave_out_empty(SpeedTorque::Map& map) {
    constexpr double nothing = 1e-9;  // of the largest harmonic
    const std::size_t count = map.at.front().harmonics.size();
    std::vector<double> size(count, 0.0);
    double largest = 0.0;
    for (const CrankTorque& torque : map.at) {
        for (std::size_t i = 0; i < count; ++i) {
            const CrankHarmonic& h = torque.harmonics[i];
            size[i] = std::max(size[i], std::hypot(h.cosine, h.sine));
            largest = std::max(largest, size[i]);
        }
    }
    for (CrankTorque& torque : map.at) {
        std::size_t kept = 0;
        for (std::size_t i = 0; i < count; ++i) {
            if (size[i] > nothing * largest) torque.harmonics[kept++] = torque.harmonics[i];
        }
        torque.harmonics.resize(kept);
    }
}

}  // namespace

double full_load_torque(const Engine& engine, double speed) {
    return engine.full_load.empty() ? engine.peak_torque.si() : along(engine.full_load, speed);
}

double motored_torque(const Engine& engine, double speed) {
    return engine.overrun.empty() ? engine.overrun_torque.si() : along(engine.overrun, speed);
}

SpeedTorque speed_torque(const Engine& engine, std::vector<double> speeds,
                         const std::function<double(double)>& brake_torque, double consumers) {
    SpeedTorque out{.speeds = std::move(speeds), .maps = {{.from = 0.0, .at = {}}}};
    const double least = least_torque(engine, consumers);
    for (const double speed : out.speeds) {
        const double brake = brake_torque(speed);
        const double burnt_for = std::max({brake, -engine.friction_torque.si() - consumers, least});
        out.maps[0].at.push_back(crank_torque(engine, speed, burnt_for, consumers));
        out.maps[0].at.back().mean = brake;
    }
    // Cylinders that differ make half orders only where they burn: at some speeds, not at all.
    std::vector<CrankTorque*> all;
    for (CrankTorque& torque : out.maps[0].at) all.push_back(&torque);
    give_same_orders(all);
    leave_out_empty(out.maps[0]);
    return out;
}

std::vector<double> firing_angles(const Engine& engine) {
    const auto count = static_cast<std::size_t>(engine.cylinders);
    std::vector<double> angles(count, 0.0);
    double at = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        angles[static_cast<std::size_t>(engine.firing_order[i] - 1)] = at;
        at += engine.firing_intervals.empty() ? cycle / static_cast<double>(count)
                                              : engine.firing_intervals[i].si();
    }
    return angles;
}

CrankTorque crank_torque(const Engine& engine, double speed, double brake_torque,
                         double consumers) {
    if (engine.torque == "harmonics") return from_table(engine, brake_torque);
    if (engine.torque == "pressure trace") return from_trace(engine, speed, brake_torque);
    const double load = std::clamp((brake_torque + consumers) / engine.peak_torque.si(), 0.0, 1.0);
    const CylinderSet set = cylinders_of(engine, load);
    CrankTorque torque =
        engine_torque(set, speed, brake_torque + consumers + engine.friction_torque.si());
    torque.mean = brake_torque;  // friction and consumers take the rest before the flywheel
    return torque;
}

CylinderTorque idling_cylinder(const Engine& engine) {
    CylinderTorque out;
    if (engine.torque != "cylinder pressure") return out;
    const CylinderSet set = cylinders_of(engine, 0.0);
    const GasTorque gas = gas_torque(set.geometry, set.burning);
    const auto points = static_cast<std::size_t>(std::lround(cycle / gas.step));
    double motored = 0.0, per_heat = 0.0;
    for (std::size_t i = 0; i < points; ++i) {
        motored += gas.motored[i] / static_cast<double>(points);
        per_heat += gas.per_heat[i] / static_cast<double>(points);
    }
    const double heat =
        (engine.friction_torque.si() / static_cast<double>(engine.cylinders) - motored) / per_heat;
    if (!(heat > 0.0) || !std::isfinite(heat)) return out;
    const auto top = static_cast<std::size_t>(std::lround(-gas.first_angle / gas.step));
    for (std::size_t i = 0; i < points; ++i) {
        const std::size_t at = (top + i) % points;
        const double angle = static_cast<double>(i) * gas.step;
        const double rest =
            gas.motored[at] + inertia_torque(set.geometry, angle, engine.idle_speed.si());
        out.without_heat.push_back(rest);
        out.with_heat.push_back(rest + heat * gas.per_heat[at]);
    }
    return out;
}

}  // namespace damper
