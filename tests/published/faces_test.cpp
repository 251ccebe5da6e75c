// SPDX-License-Identifier: MIT
// Rubbing faces in both time solvers against closed forms: engagement of two inertias, stick-slip
// on a belt, growth and decay of a friction-excited oscillation.
#include "libdamper/clutch/start.hpp"
#include "libdamper/signals/damped_sine.hpp"

#include "tests/support/near.hpp"
#include "tests/support/rubbing_lines.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double pi = std::numbers::pi;

double heat_of_faces(const FaceRun& run) {
    for (const EnergyBook::Entry& entry : run.outcome.energy.entries) {
        if (entry.element == "faces") return entry.dissipated;
    }
    return -1.0;
}

}  // namespace

TEST_CASE("two inertias are brought to one speed in the time and with the heat of a text book") {
    // V. B. Bhandari, Design of Machine Elements, example 11.14 (recalled): 10 kW at 2000 rpm;
    // input 20 kg with radius of gyration 75 mm, output 35 kg with 125 mm: 0.409285 s and 2046.4 J.
    const double first = 20.0 * 0.075 * 0.075;
    const double second = 35.0 * 0.125 * 0.125;
    const double speed = 2000.0 * pi / 30.0;
    const double torque = 10e3 / speed;
    for (const bool exact : {true, false}) {
        const Driveline line = two_with_faces(first, second, speed, 0.0, faces_of(torque));
        const FaceRun run = run_faces(line, exact, 0.6);
        REQUIRE(run.trace.changes.size() == 1);
        CHECK(run.trace.changes[0].time == near(0.409285, 1e-5));
        CHECK(heat_of_faces(run) == near(2046.4227, 1e-5));
        // Q = ½·J₁·J₂/(J₁ + J₂)·Δω², whatever the torque (same source).
        CHECK(heat_of_faces(run) ==
              near(0.5 * first * second / (first + second) * speed * speed, 1e-9));
        CHECK(run.outcome.energy.residual() < 1e-12);
    }
}

TEST_CASE("a start against a load follows its closed form until the clutch sticks") {
    Start start;
    start.engine_inertia = 0.17;
    start.vehicle_inertia = 0.8;
    start.engine_speed = 150.0;
    start.clutch_torque = 80.0;
    start.engine_torque = 50.0;
    start.load_torque = 20.0;
    const StartHeat heat = heat_of(start);
    for (const bool exact : {true, false}) {
        Driveline line = two_with_faces(start.engine_inertia, start.vehicle_inertia, 150.0, 0.0,
                                        faces_of(start.clutch_torque));
        line.inputs = {{"engine torque", 0, ConstantTorque{50.0}},
                       {"load", 1, ConstantTorque{-20.0}}};
        const FaceRun run = run_faces(line, exact, 1.5 * heat.slip_time);
        REQUIRE(run.trace.changes.size() == 1);
        CHECK(run.trace.changes[0].time == near(heat.slip_time, 1e-9));
        CHECK(heat_of_faces(run) == near(heat.energy, 1e-9));
        // Stuck, the clutch carries what accelerates the vehicle with the engine.
        const double shared = (50.0 - 20.0) / (0.17 + 0.8);
        CHECK(run.trace.rows.back().torque == near(20.0 + 0.8 * shared, 1e-9));
    }
}

TEST_CASE("stick-slip on a belt has the closed form of a mass that is let go and caught") {
    // Derived: J = 0.1 kg m², k = 1000 N m/rad, belt 1 rad/s, holding 60 and rubbing 45 N m. It
    // lets go at 60/k, swings about 45/k with √(D² + (V/ω)²), D = 15/k, and is caught when it is as
    // fast as the belt again: slip (2π − 2·atan(ωD/V))/ω, stick 2·D/V.
    const double w = std::sqrt(1000.0 / 0.1);
    const double d = 15.0 / 1000.0;
    const double slip = (2.0 * pi - 2.0 * std::atan(w * d)) / w;
    CHECK(slip == near(43.17598e-3, 1e-6));
    for (const bool exact : {true, false}) {
        FrictionFaces faces = faces_of(45.0);
        faces.stiction = 60.0 / 45.0;
        const Driveline line = on_a_belt(0.1, 1000.0, 0.0, 1.0, faces);
        State start = start_state(line);
        start.speed[1] = 1.0;  // carried along
        start.rubbing = {Rubbing::sticking};
        const FaceRun run = run_faces(line, exact, 1.0, 1e-3, 1e-11, &start);
        // Let go, caught, let go, …; the first time at 60/k.
        REQUIRE(run.trace.changes.size() >= 20);
        CHECK(run.trace.changes.size() <= 30);
        CHECK(run.trace.changes[0].time == near(0.06, 1e-9));
        for (std::size_t i = 2; i < run.trace.changes.size(); i += 2) {
            const double let_go = run.trace.changes[i].time;
            CHECK(let_go - run.trace.changes[i - 1].time == near(2.0 * d, 1e-7));
            CHECK(run.trace.changes[i - 1].time - run.trace.changes[i - 2].time ==
                  near(slip, 1e-7));
        }
        double top = 0.0;
        for (const FaceTrace::Row& row : run.trace.rows) top = std::max(top, row.angle[1]);
        CHECK(top == near(0.045 + std::hypot(d, 1.0 / w), 1e-4));
        CHECK(run.outcome.energy.residual() < 1e-9);
    }
}

TEST_CASE("friction that falls with slip makes an oscillation grow as its closed form says") {
    // Derived: τ = z·N·R·μ(v) adds the damping z·N·R²·dμ/dv; growth −(c + z·N·R²·dμ/dv)/(2J).
    // z = 2, N = 4000 N, R = 0.1 m, −0.005 s/m: −0.4 N m s/rad. J = 0.02 kg m², k = 29.8147 N
    // m/rad: +5, 0 and −5 1/s with c = 0.2, 0.4, 0.6; 38.285, 38.610, 38.285 rad/s.
    struct Case {
        double damping, growth, circular;
    };
    const double k = 5000.0 / (12.95 * 12.95);
    for (const Case& one :
         {Case{0.2, 5.0, 38.285}, Case{0.4, 0.0, 38.610}, Case{0.6, -5.0, 38.285}}) {
        for (const bool exact : {true, false}) {
            FrictionFaces faces;
            faces.lever = 2.0 * 0.1;
            faces.radius = 0.1;
            faces.friction = {{0.0, 40.0}, {0.4, 0.2}};
            faces.load = {{0.0}, {4000.0}};
            CHECK(slip_damping(faces, 0.0, 100.0) == near(-0.4, 1e-12));
            const Driveline line = on_a_belt(0.02, k, one.damping, 200.0, faces);
            State start = start_state(line);
            // From where it would rest while it slips, off by a little.
            start.angle[1] = slip_torque(faces, Rubbing::slipping_up, 0.0, 200.0) / k + 0.01;
            const FaceRun run = run_faces(line, exact, 0.8, 1e-3, 1e-11, &start);
            CHECK(run.trace.changes.empty());
            std::vector<double> speed;
            for (const FaceTrace::Row& row : run.trace.rows) speed.push_back(row.speed[1]);
            const auto sine = fit_damped_sine(speed, 1e-3, 3.0, 12.0);
            REQUIRE(sine);
            CHECK(-sine->decay == doctest::Approx(one.growth).epsilon(1e-4));
            CHECK(2.0 * pi * sine->frequency == near(one.circular, 2e-5));
        }
    }
}
