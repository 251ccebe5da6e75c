// SPDX-License-Identifier: MIT
#include "libdamper/assemble/engine.hpp"

#include "libdamper/elements/crank_torque.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

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

}  // namespace

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
    const double load = std::clamp((brake_torque + consumers) / engine.peak_torque.si(), 0.0, 1.0);
    const Combustion& c = engine.combustion;
    CylinderSet set;
    set.geometry = {.bore = engine.bore.si(),
                    .stroke = engine.stroke.si(),
                    .rod_length = engine.rod_length.si(),
                    .compression_ratio = engine.compression_ratio.si(),
                    .reciprocating_mass = engine.reciprocating_mass.si()};
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
    CrankTorque torque =
        engine_torque(set, speed, brake_torque + consumers + engine.friction_torque.si());
    torque.mean = brake_torque;  // friction and consumers take the rest before the flywheel
    return torque;
}

}  // namespace damper
