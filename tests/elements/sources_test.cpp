// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/elements/crank_torque.hpp"
#include "libdamper/elements/smooth_law.hpp"
#include "libdamper/elements/torque_source.hpp"

#include "tests/support/near.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <random>

using namespace damper;
using damper::test::near;

namespace {

constexpr double pi = std::numbers::pi;

CylinderSet engine(std::vector<double> firing_angles, double gain = 1.0) {
    CylinderSet set;
    set.geometry = {.bore = 0.08,
                    .stroke = 0.09,
                    .rod_length = 0.15,
                    .compression_ratio = 11.0,
                    .reciprocating_mass = 0.6};
    set.burning = {.intake_pressure = 0.5e5,
                   .exhaust_pressure = 1.05e5,
                   .ambient_pressure = 101325.0,
                   .compression_exponent = 1.32,
                   .expansion_exponent = 1.27,
                   .start = -0.15,
                   .duration = 0.9,
                   .shape = 2.0,
                   .completeness = 6.9};
    set.gains.assign(firing_angles.size(), gain);
    set.firing_angles = std::move(firing_angles);
    return set;
}

std::vector<double> even(int cylinders) {
    std::vector<double> out;
    for (int i = 0; i < cylinders; ++i) out.push_back(4.0 * pi * i / cylinders);
    return out;
}

/// Mean torque of all cylinders over the cycle, added up directly, with this heat per cylinder.
double direct_mean(const CylinderSet& set, double heat) {
    const GasTorque gas = gas_torque(set.geometry, set.burning);
    double sum = 0.0;
    for (std::size_t i = 0; i < gas.motored.size(); ++i) {
        for (const double gain : set.gains) sum += gas.motored[i] + heat * gain * gas.per_heat[i];
    }
    return sum / static_cast<double>(gas.motored.size());
}

/// Torque of the whole engine at a crank angle, cylinder by cylinder.
double direct_torque(const CylinderSet& set, const GasTorque& gas, double heat, double angle,
                     double speed) {
    const auto n = static_cast<double>(gas.motored.size());
    double sum = 0.0;
    for (std::size_t j = 0; j < set.gains.size(); ++j) {
        const double own = angle - set.firing_angles[j];
        double at = std::fmod((own - gas.first_angle) / gas.step, n);
        if (at < 0.0) at += n;
        const auto i = static_cast<std::size_t>(at + 0.5) % gas.motored.size();
        sum += gas.motored[i] + heat * set.gains[j] * gas.per_heat[i] +
               inertia_torque(set.geometry, own, speed);
    }
    return sum;
}

}  // namespace

TEST_CASE("a lagging ramp is what a first-order lag makes of the ramp, integrated step by step") {
    for (const TorqueRamp& ramp :
         {TorqueRamp{-20.0, 120.0, 0.1, 0.2, 0.05}, TorqueRamp{150.0, -30.0, 0.0, 0.05, 0.3},
          TorqueRamp{0.0, 100.0, 0.2, 0.0, 0.04}, TorqueRamp{10.0, 90.0, 0.1, 0.3, 1e-3}}) {
        const auto asked = [&](double t) {
            const double share = ramp.rise > 0.0
                                     ? std::clamp((t - ramp.start) / ramp.rise, 0.0, 1.0)
                                     : (t > ramp.start ? 1.0 : 0.0);
            return ramp.from + share * (ramp.to - ramp.from);
        };
        double lagged = ramp.from;
        const double h = 1e-5;
        double worst = 0.0;
        for (int i = 0; i < 80000; ++i) {
            const double t = h * i;
            // Midpoint of the input over the step, its response exact.
            const double target = asked(t + 0.5 * h);
            lagged = target + (lagged - target) * std::exp(-h / ramp.lag);
            worst = std::max(worst, std::abs(torque(ramp, t + h, 0.0, 0.0) - lagged));
        }
        CHECK(worst < 1e-2);
        CHECK(worst < 1e-4 * std::abs(ramp.to - ramp.from));
    }
}

TEST_CASE("a ramp without lag is straight, a step jumps, and both are announced") {
    const TorqueRamp ramp{.from = 10.0, .to = 50.0, .start = 1.0, .rise = 0.4};
    CHECK(torque(ramp, 0.9, 0.0, 0.0) == 10.0);
    CHECK(torque(ramp, 1.1, 0.0, 0.0) == near(20.0, 1e-12));
    CHECK(torque(ramp, 1.4, 0.0, 0.0) == near(50.0, 1e-12));
    CHECK(torque(ramp, 9.0, 0.0, 0.0) == 50.0);
    CHECK(breakpoints(ramp) == std::vector<double>{1.0, 1.4});
    const TorqueRamp step{.from = 10.0, .to = 50.0, .start = 1.0};
    CHECK(torque(step, 1.0 - 1e-12, 0.0, 0.0) == 10.0);
    CHECK(torque(step, 1.0 + 1e-12, 0.0, 0.0) == 50.0);
    CHECK(breakpoints(ConstantTorque{3.0}).empty());
}

TEST_CASE("crank harmonics add up as a direct sum does") {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> any(-50.0, 50.0);
    CrankTorque source{.mean = 12.0, .harmonics = {}};
    for (const double order : {0.5, 1.0, 2.5, 4.0, 11.5, 16.0}) {
        source.harmonics.push_back({order, any(random), any(random)});
    }
    for (const double angle : {0.0, 0.3, -2.0, 100.0, 12345.678, 1e6}) {
        double sum = 12.0;
        for (const CrankHarmonic& h : source.harmonics) {
            sum += h.cosine * std::cos(h.order * angle) + h.sine * std::sin(h.order * angle);
        }
        CHECK(std::abs(torque(source, 0.0, angle, 0.0) - sum) < 1e-7);
    }
}

TEST_CASE("any engine has the mean torque asked, by adding up its cylinders directly") {
    const double asked = 45.0;
    for (const auto& angles : {even(1), even(2), even(3), even(4), even(5), even(7), even(12),
                               even(16), std::vector<double>{0.0, 1.5 * pi, 2.0 * pi, 3.5 * pi}}) {
        for (const double weak : {1.0, 0.6, 0.0}) {
            if (weak == 0.0 && angles.size() < 2) continue;
            CAPTURE(angles.size());
            CAPTURE(weak);
            CylinderSet set = engine(angles);
            set.gains.back() = weak;
            // Two heats give the straight line of the mean over the heat.
            const double none = direct_mean(set, 0.0);
            const double heat = (asked - none) / (direct_mean(set, 1.0) - none);
            const CrankTorque torque_over_angle = engine_torque(set, 85.0, asked);
            CHECK(torque_over_angle.mean == asked);
            const GasTorque gas = gas_torque(set.geometry, set.burning);
            double square = 0.0, missed = 0.0;
            for (int i = 0; i < 720; ++i) {
                const double angle = 4.0 * pi * i / 720;
                const double direct = direct_torque(set, gas, heat, angle, 85.0);
                const double series = torque(torque_over_angle, 0.0, angle, 0.0);
                square += direct * direct;
                missed += (direct - series) * (direct - series);
            }
            // Orders above 16 and the rounding of angles are all that may be missing.
            CHECK(std::sqrt(missed / square) < 0.02);
        }
    }
}

TEST_CASE("an engine that would have to burn less than nothing is refused") {
    CHECK_THROWS_AS((void)engine_torque(engine(even(4)), 85.0, -500.0), ModelError);
    CHECK_THROWS_AS((void)engine_torque(engine(even(4), 0.0), 85.0, 40.0), ModelError);
    CHECK_THROWS_AS((void)engine_torque(engine({}), 85.0, 40.0), ModelError);
    CylinderSet set = engine(even(4));
    set.gains.pop_back();
    CHECK_THROWS_AS((void)engine_torque(set, 85.0, 40.0), ModelError);
    set = engine(even(4));
    set.geometry.rod_length = 0.04;
    CHECK_THROWS_AS((void)engine_torque(set, 85.0, 40.0), ModelError);
    set = engine(even(4));
    set.geometry.compression_ratio = 1.0;
    CHECK_THROWS_AS((void)engine_torque(set, 85.0, 40.0), ModelError);
    set = engine(even(4));
    set.burning.duration = 0.0;
    CHECK_THROWS_AS((void)engine_torque(set, 85.0, 40.0), ModelError);
}

TEST_CASE("the piston's slope and curvature are the derivatives of its travel") {
    const CrankGeometry g = engine(even(1)).geometry;
    for (double angle = -3.0; angle < 3.5; angle += 0.37) {
        const double h = 1e-5;
        const PistonMotion at = piston_motion(g, angle);
        const PistonMotion more = piston_motion(g, angle + h);
        const PistonMotion less = piston_motion(g, angle - h);
        CHECK(std::abs(at.slope - (more.travel - less.travel) / (2.0 * h)) < 1e-10);
        CHECK(std::abs(at.curvature - (more.slope - less.slope) / (2.0 * h)) < 1e-10);
    }
    CHECK(piston_motion(g, 0.0).travel == 0.0);
    CHECK(piston_motion(g, pi).travel == near(g.stroke, 1e-12));
}

TEST_CASE("a motored cylinder without losses gives back what it took") {
    // Same exponent both ways, no valve losses worth the name: compression and expansion cancel.
    CylinderSet set = engine(even(1));
    set.burning.expansion_exponent = set.burning.compression_exponent;
    set.burning.intake_pressure = set.burning.exhaust_pressure = set.burning.ambient_pressure;
    const GasTorque gas = gas_torque(set.geometry, set.burning);
    double sum = 0.0, size = 0.0;
    for (const double t : gas.motored) {
        sum += t;
        size += std::abs(t);
    }
    // What is left is the step where the exhaust valve opens early.
    CHECK(std::abs(sum) < 5e-4 * size);
}

TEST_CASE("the slope of a smooth law is the derivative of its torque") {
    const std::vector<SmoothLaw> laws = {
        RoadLoad{.rolling = 40.0, .grade = -12.0, .air = 0.02},
        TyreSlip{.slip_stiffness = 6e4, .grip = 3500.0, .radius = 0.31}};
    for (const SmoothLaw& law : laws) {
        for (const double rate : {-30.0, -0.4, -0.02, 0.0, 0.01, 0.3, 2.0, 50.0}) {
            for (const double reference : {-20.0, 0.0, 0.5, 30.0}) {
                CAPTURE(kind(law));
                CAPTURE(rate);
                const double h = 1e-6;
                const double slope =
                    (torque(law, rate + h, reference) - torque(law, rate - h, reference)) /
                    (2.0 * h);
                const double size = 1.0 + std::abs(damping(law, 0.0, reference));
                CHECK(std::abs(damping(law, rate, reference) - slope) < 1e-6 * size);
                CHECK(damping(law, rate, reference) >= 0.0);
            }
        }
    }
}

TEST_CASE("smooth laws oppose the motion and name their parameters") {
    const RoadLoad level{.rolling = 40.0, .grade = 0.0, .air = 0.02};
    CHECK(torque(level, -7.0, 0.0) == near(-torque(level, 7.0, 0.0), 1e-14));
    CHECK(torque(level, 7.0, 0.0) == near(40.0 + 0.02 * 49.0, 1e-12));
    for (const SmoothLaw& law : {SmoothLaw(level), SmoothLaw(TyreSlip{.slip_stiffness = 6e4})}) {
        CHECK_FALSE(kind(law).empty());
        CHECK(parameters(law).size() == 4);
    }
}

TEST_CASE("a recorded torque goes through its values, and gives a parabola back exactly") {
    RecordedTorque recorded{.start = 0.1, .step = 0.02, .values = {}};
    const auto parabola = [](double t) { return 3.0 - 40.0 * t + 900.0 * t * t; };
    for (int i = 0; i < 12; ++i) recorded.values.push_back(parabola(0.02 * i));
    for (double t = 0.0; t <= 0.22; t += 0.0037) {
        CHECK(torque(recorded, 0.1 + t, 0.0, 0.0) == near(parabola(t), 1e-12));
    }
    CHECK(torque(recorded, 0.0, 0.0, 0.0) == near(3.0, 1e-15));
    CHECK(torque(recorded, 5.0, 0.0, 0.0) == near(parabola(0.22), 1e-12));
    CHECK(breakpoints(recorded).size() == 12);
    CHECK(breakpoints(recorded).back() == near(0.32, 1e-12));
    CHECK(kind(recorded) == "recording");

    recorded.values.resize(2);  // a straight line
    CHECK(torque(recorded, 0.105, 0.0, 0.0) ==
          near(0.75 * recorded.values[0] + 0.25 * recorded.values[1], 1e-12));
    recorded.values.resize(1);
    CHECK_THROWS_AS(check(recorded), ModelError);
    recorded.values = {1.0, std::nan("")};
    CHECK_THROWS_AS(check(recorded), ModelError);
}
