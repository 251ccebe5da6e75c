// SPDX-License-Identifier: MIT
#include "libdamper/clutch/capacity.hpp"
#include "libdamper/clutch/release.hpp"
#include "libdamper/clutch/start.hpp"
#include "libdamper/clutch/wear.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <vector>

using namespace damper;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double rpm = pi / 30.0;
constexpr double mm = 1e-3;

}  // namespace

// V. B. Bhandari, Design of Machine Elements, chapter 11; data and results as printed in the
// companion worked in Scilab (examples 11.1, 11.2, 11.6, 11.14).

TEST_CASE("Bhandari 11.1 and 11.2: one face pair, uniform wear and uniform pressure") {
    const double D = 0.2, d = 0.1, mu = 0.2, p = 1e6;
    // Uniform wear: p is that at the inner diameter, where p·r is what it is everywhere.
    const double worn = pi * p * d / 2.0 * (D - d);
    CHECK(worn == doctest::Approx(15707.963).epsilon(1e-6));
    const double by_wear =
        torque_capacity(1, mu, worn, friction_radius(D, d, PressureSpread::uniform_wear));
    CHECK(by_wear == doctest::Approx(235.619449).epsilon(1e-6));
    CHECK(by_wear * 750.0 * rpm == doctest::Approx(18505.508).epsilon(1e-6));
    const double even = p * facing_area(D, d);
    CHECK(even == doctest::Approx(23561.945).epsilon(1e-6));
    const double by_pressure =
        torque_capacity(1, mu, even, friction_radius(D, d, PressureSpread::uniform_pressure));
    CHECK(by_pressure == doctest::Approx(366.519143).epsilon(1e-6));
    CHECK(by_pressure * 750.0 * rpm == doctest::Approx(28786.346).epsilon(1e-6));
}

TEST_CASE("Bhandari 11.6: reserve of a car clutch with nine springs") {
    const double load = 9.0 * 800.0;
    const double D = 0.25, d = 0.175;
    const auto factor = [&](PressureSpread spread) {
        return torque_capacity(2, 0.35, load, friction_radius(D, d, spread)) / 250.0;
    };
    CHECK(factor(PressureSpread::uniform_pressure) == doctest::Approx(2.164235).epsilon(1e-6));
    CHECK(factor(PressureSpread::uniform_wear) == doctest::Approx(2.142000).epsilon(1e-6));
}

TEST_CASE("Bhandari 11.14: engagement of two free inertias") {
    Start start;
    start.engine_inertia = 20.0 * 0.075 * 0.075;
    start.vehicle_inertia = 35.0 * 0.125 * 0.125;
    start.engine_speed = 2000.0 * rpm;
    start.clutch_torque = 10e3 / start.engine_speed;
    CHECK(start.clutch_torque == doctest::Approx(47.74648).epsilon(1e-6));
    const StartHeat heat = heat_of(start);
    REQUIRE(heat.sticks);
    CHECK(heat.slip_time == doctest::Approx(0.409285).epsilon(1e-6));
    CHECK(heat.energy == doctest::Approx(2046.4227).epsilon(1e-6));
}

TEST_CASE("spin-up of a flywheel through a clutch whose input keeps its speed") {
    // A cone clutch of the theory of machines: mean diameter 75 mm, half angle 15°, µ 0.3, 180 N,
    // 1000 rpm, 13.5 kg at a radius of gyration of 150 mm. The heat equals the energy gained.
    Start start;
    start.engine_inertia = 1.0;
    start.vehicle_inertia = 13.5 * 0.15 * 0.15;
    start.engine_speed = 1000.0 * rpm;
    start.clutch_torque = 0.3 * 180.0 * 0.0375 / std::sin(15.0 * pi / 180.0);
    start.engine_torque = start.clutch_torque;
    CHECK(start.clutch_torque == doctest::Approx(7.823999).epsilon(1e-5));
    const StartHeat heat = heat_of(start);
    CHECK(heat.slip_time == doctest::Approx(4.065520).epsilon(1e-5));
    CHECK(heat.energy == doctest::Approx(1665.50).epsilon(1e-5));
    CHECK(heat.energy ==
          doctest::Approx(0.5 * start.vehicle_inertia * start.engine_speed * start.engine_speed));
}

TEST_CASE("face of a thick plate under a flux that falls evenly, against finite differences") {
    // k 50 W/(m K), ρ 7200 kg/m³, c 500 J/(kg K), q₀ 1 MW/m², 1 s. Closed form by superposition of
    // Carslaw and Jaeger, Conduction of Heat in Solids, section 2.9.
    const double k = 50.0, rho_c = 7200.0 * 500.0, q0 = 1e6, ts = 1.0;
    const double effusivity = std::sqrt(k * rho_c);
    CHECK(largest_face_rise(q0, ts, effusivity) == doctest::Approx(39.6472).epsilon(1e-5));
    CHECK(face_rise(q0, ts, effusivity, ts) == doctest::Approx(28.0348).epsilon(1e-5));

    // Explicit finite differences in a slab of 60 mm, deep enough to be endless for 1 s.
    constexpr std::size_t cells = 1200;
    const double dx = 0.06 / static_cast<double>(cells);
    const double dt = 0.4 * dx * dx * rho_c / k;
    std::vector<double> T(cells, 0.0);
    double largest = 0.0;
    std::vector<double> next(T);
    for (double t = 0.0; t < ts; t += dt) {
        const double flux = q0 * (1.0 - (t + 0.5 * dt) / ts);
        for (std::size_t i = 0; i < cells; ++i) {
            const double in = i == 0 ? flux : k * (T[i - 1] - T[i]) / dx;
            const double out = i == cells - 1 ? 0.0 : k * (T[i] - T[i + 1]) / dx;
            next[i] = T[i] + dt * (in - out) / (rho_c * dx);
        }
        T.swap(next);
        largest = std::max(largest, T[0] + 0.5 * dx * flux / k);  // from cell centre to the face
    }
    CHECK(largest_face_rise(q0, ts, effusivity) == doctest::Approx(largest).epsilon(1e-3));
}

TEST_CASE("a worked clutch cover: lever, release load, wear of equal load, torque") {
    // The invented car spring of clutch_springs_test.cpp with a finger circle of 24 mm; rigid disc.
    ClampedCover cover;
    cover.spring = {.outer = 108 * mm,
                    .inner = 86 * mm,
                    .outer_circle = 106.5 * mm,
                    .inner_circle = 87.5 * mm,
                    .thickness = 2.4 * mm,
                    .cone_height = 4.2 * mm,
                    .modulus = 206e9,
                    .poisson = 0.3};
    cover.deflection = 0.9 * flat_deflection(cover.spring);
    cover.lever = lever_ratio(24 * mm, 87.5 * mm, 106.5 * mm);
    CHECK(cover.lever == doctest::Approx(3.34211).epsilon(1e-5));
    const double clamp = spring_load(cover.spring, cover.deflection);
    CHECK(clamp / cover.lever == doctest::Approx(1180.00).epsilon(1e-5));
    const ReleasePoint lifted = at_lift(cover, 1.4 * mm);
    CHECK(lifted.bearing_load == doctest::Approx(991.82).epsilon(1e-5));
    CHECK(lifted.travel / mm == doctest::Approx(4.67895).epsilon(1e-5));
    CHECK(wear_until(cover.spring, cover.deflection, clamp) / mm ==
          doctest::Approx(1.56921).epsilon(1e-5));
    const double D = 228 * mm, d = 150 * mm;
    CHECK(torque_capacity(2, 0.27, clamp, friction_radius(D, d, PressureSpread::uniform_wear)) ==
          doctest::Approx(201.25).epsilon(1e-4));
    CHECK(
        torque_capacity(2, 0.27, clamp, friction_radius(D, d, PressureSpread::uniform_pressure)) ==
        doctest::Approx(204.10).epsilon(1e-4));
}
