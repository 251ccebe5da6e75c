// SPDX-License-Identifier: MIT
// Rubbing faces in both time solvers: closed forms with a changing load, symmetry, energy,
// agreement with each other, and no chatter.
#include "libdamper/base/error.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/elements/slider.hpp"

#include "tests/support/near.hpp"
#include "tests/support/rubbing_lines.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <random>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double pi = std::numbers::pi;

/// Engine, disc, vehicle: faces, then a spring, with everything that changes a face's torque.
Driveline little_car(std::mt19937& chance) {
    const auto from = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(chance);
    };
    Driveline line;
    const double speed = from(80.0, 200.0);
    line.masses = {{"engine", from(0.1, 0.3), speed},
                   {"disc", from(0.01, 0.03), 0.0},
                   {"vehicle", from(0.5, 1.0), 0.0}};
    Branch shaft{.name = "shaft",
                 .kind = "shaft",
                 .row = {{1, 1.0}, {2, -1.0}},
                 .damping = 0.0,
                 .chain = {}};
    shaft.chain.push_back({{{"shaft", linear_spring(from(50.0, 150.0), from(0.0, 0.5))}}});
    line.branches.push_back(std::move(shaft));
    FrictionFaces clutch;
    clutch.lever = 0.2;
    clutch.radius = 0.1;
    clutch.friction = {{0.0, from(1.0, 3.0), from(4.0, 8.0)},
                       {from(0.25, 0.35), from(0.25, 0.35), from(0.25, 0.35)}};
    clutch.stiction = from(1.0, 1.3);
    clutch.load = {{0.05, 0.3, 0.8, 1.0}, {0.0, from(800.0, 1200.0), from(900.0, 1500.0), 5000.0}};
    line.faces.push_back({.name = "faces",
                          .row = {{0, 1.0}, {1, -1.0}},
                          .law = clutch,
                          .modulations = {{{{0, 1.0}, {1, -1.0}}, from(0.0, 0.2), from(0.0, 6.0)},
                                          {{{1, 1.0}}, from(0.0, 0.2), from(0.0, 6.0)}}});
    FrictionFaces road = faces_of(from(2.0, 8.0));
    road.backstop = 100.0;
    line.faces.push_back({.name = "road", .row = {{2, 1.0}}, .law = road, .modulations = {}});
    line.inputs = {{"engine torque", 0, SineTorque{from(30.0, 60.0), from(0.0, 40.0), 50.0, 0.0}},
                   {"slope", 2, ConstantTorque{from(-20.0, 0.0)}}};
    return line;
}

double residual_of_torques(const FaceRun& a, const FaceRun& b, std::size_t rows) {
    double worst = 0.0;
    for (std::size_t i = 0; i < rows; ++i) {
        for (std::size_t m = 0; m < a.trace.rows[i].speed.size(); ++m) {
            worst = std::max(worst, std::abs(a.trace.rows[i].speed[m] - b.trace.rows[i].speed[m]));
        }
    }
    return worst;
}

}  // namespace

TEST_CASE("a load that rises evenly stops the slip at the time of its closed form") {
    // Δω' = −r·t/J with 1/J = 1/J₁ + 1/J₂: slip ends at √(2·J·Δω₀/r).
    const double reduced = 1.0 / (1.0 / 0.2 + 1.0 / 0.7);
    for (const bool exact : {true, false}) {
        FrictionFaces faces = faces_of(0.0);
        faces.load = {{0.0, 10.0}, {0.0, 10.0 * 60.0}};
        const FaceRun run = run_faces(two_with_faces(0.2, 0.7, 120.0, 0.0, faces), exact, 3.0);
        REQUIRE(run.trace.changes.size() == 1);
        CHECK(run.trace.changes[0].time == near(std::sqrt(2.0 * reduced * 120.0 / 60.0), 1e-9));
        CHECK(run.outcome.energy.residual() < 1e-12);
    }
}

TEST_CASE("friction over slip speed makes the slip fall exponentially on each of its pieces") {
    // Δω' = −(L₀ + g·Δω)/J on each piece of the friction curve: the time from Δω₁ to Δω₂ is
    // J/g·ln((L₀ + g·Δω₁)/(L₀ + g·Δω₂)).
    const double reduced = 1.0 / (1.0 / 0.2 + 1.0 / 0.7);
    const auto time = [&](double from, double to, double at_from, double at_to) {
        const double g = (at_from - at_to) / (from - to);
        return reduced / g * std::log(at_from / at_to);
    };
    for (const bool exact : {true, false}) {
        FrictionFaces faces;
        faces.friction = {{0.0, 40.0, 90.0}, {50.0, 40.0, 60.0}};
        faces.load = {{0.0}, {1.0}};
        const FaceRun run =
            run_faces(two_with_faces(0.2, 0.7, 90.0, 0.0, faces), exact, 2.0, 1e-3, 1e-11);
        REQUIRE(run.trace.changes.size() == 1);
        CHECK(run.trace.changes[0].time ==
              near(time(90.0, 40.0, 60.0, 40.0) + time(40.0, 0.0, 40.0, 50.0), 1e-7));
    }
}

TEST_CASE("a load that swings with the slip swings the torque once per revolution of it") {
    for (const bool exact : {true, false}) {
        // Inertias so large that the slip stays.
        Driveline line = two_with_faces(1e9, 1e9, 50.0, 0.0, faces_of(100.0));
        line.faces[0].modulations = {{{{0, 1.0}, {1, -1.0}}, 0.1, 0.5}};
        const FaceRun run = run_faces(line, exact, 1.0);
        CHECK(run.trace.changes.empty());
        for (const FaceTrace::Row& row : run.trace.rows) {
            CHECK(row.torque == near(100.0 * (1.0 + 0.1 * std::cos(50.0 * row.time + 0.5)), 1e-6));
        }
    }
}

TEST_CASE("faces stick for good while less is asked of them than they hold") {
    for (const bool exact : {true, false}) {
        Driveline line = two_with_faces(0.2, 0.7, 0.0, 0.0, faces_of(60.0));
        // The share of the vehicle is 0.7/0.9 of the torque: 54.4 N m at most.
        line.inputs = {{"torque", 0, SineTorque{0.0, 70.0, 30.0, 0.0}}};
        const FaceRun run = run_faces(line, exact, 2.0);
        CHECK(run.trace.changes.empty());
        double most = 0.0;
        for (const FaceTrace::Row& row : run.trace.rows) {
            CHECK(std::abs(row.speed[0] - row.speed[1]) < 1e-12);
            most = std::max(most, row.torque);
        }
        CHECK(most == near(70.0 * 0.7 / 0.9, 1e-3));
    }
}

TEST_CASE("each overload is one slip and one catch") {
    for (const bool exact : {true, false}) {
        Driveline line = two_with_faces(0.2, 0.7, 0.0, 0.0, faces_of(60.0));
        line.inputs = {{"torque", 0, SineTorque{0.0, 90.0, 2.0 * pi, 0.0}}};
        const FaceRun run = run_faces(line, exact, 5.0);
        // Up and down once in each of the five periods of one second.
        CHECK(run.trace.changes.size() == 20);
        CHECK(run.outcome.energy.residual() < 1e-8);
    }
}

TEST_CASE("a vehicle on a slope rests until it is pulled, and does not roll back before") {
    for (const bool exact : {true, false}) {
        Driveline line;
        line.masses = {{"vehicle", 100.0, 0.0}};
        FrictionFaces road = faces_of(10.0);
        road.backstop = 1000.0;
        line.faces = {{.name = "road", .row = {{0, 1.0}}, .law = road, .modulations = {}}};
        line.inputs = {
            {"slope", 0, ConstantTorque{-200.0}},
            {"pull", 0,
             TorqueRamp{.from = 0.0, .to = 400.0, .start = 0.0, .rise = 4.0, .lag = 0.0}}};
        const FaceRun run = run_faces(line, exact, 4.0);
        REQUIRE(run.trace.changes.size() == 1);
        // 100 N m/s: at 2.1 s it carries slope and rolling resistance.
        CHECK(run.trace.changes[0].time == near(2.1, 1e-9));
        for (const FaceTrace::Row& row : run.trace.rows) CHECK(row.speed[0] > -1e-9);
        CHECK(run.trace.rows.back().speed[0] == near(0.5 * 1.9 * 1.9, 1e-6));
    }
}

TEST_CASE("both solvers agree on random take-ups, and their energy balances") {
    std::mt19937 chance(7);
    for (int i = 0; i < 12; ++i) {
        const Driveline line = little_car(chance);
        const FaceRun exact = run_faces(line, true, 1.5);
        const FaceRun general = run_faces(line, false, 1.5, 1e-3, 1e-11);
        CHECK(exact.outcome.report.complete);
        CHECK(general.outcome.report.complete);
        CHECK(exact.outcome.energy.residual() < 1e-10);
        CHECK(general.outcome.energy.residual() < 1e-6);
        REQUIRE(exact.trace.changes.size() == general.trace.changes.size());
        for (std::size_t c = 0; c < exact.trace.changes.size(); ++c) {
            CHECK(exact.trace.changes[c].time ==
                  doctest::Approx(general.trace.changes[c].time).epsilon(1e-6));
            CHECK(exact.trace.changes[c].to == general.trace.changes[c].to);
        }
        CHECK(residual_of_torques(exact, general, 1500) < 1e-4);
        // Found, kept: a slip of clutch or road is no more than a few changes.
        CHECK(exact.trace.changes.size() < 60);
    }
}

TEST_CASE("the mirror image of a line with faces moves as the mirror image") {
    std::mt19937 chance(3);
    for (const bool exact : {true, false}) {
        Driveline line = little_car(chance);
        line.faces[1].law.backstop = 0.0;
        Driveline mirror = line;
        for (RotatingMass& mass : mirror.masses) mass.reference_speed *= -1.0;
        for (Input& input : mirror.inputs) {
            if (auto* sine = std::get_if<SineTorque>(&input.source)) {
                sine->mean *= -1.0;
                sine->amplitude *= -1.0;
            }
            if (auto* constant = std::get_if<ConstantTorque>(&input.source)) {
                constant->torque *= -1.0;
            }
        }
        for (FaceModulation& one : mirror.faces[0].modulations) one.phase *= -1.0;
        const FaceRun a = run_faces(line, exact, 1.2);
        const FaceRun b = run_faces(mirror, exact, 1.2);
        REQUIRE(a.trace.rows.size() == b.trace.rows.size());
        for (std::size_t i = 0; i < a.trace.rows.size(); i += 50) {
            for (std::size_t m = 0; m < 3; ++m) {
                CHECK(a.trace.rows[i].speed[m] ==
                      doctest::Approx(-b.trace.rows[i].speed[m]).epsilon(1e-9));
            }
        }
    }
}

TEST_CASE("the steady start of faces that slip carries their torque, of faces at rest nothing") {
    std::mt19937 chance(5);
    Driveline line = little_car(chance);
    const SteadyState open = steady_state(line);
    CHECK(open.state.rubbing == std::vector<Rubbing>{Rubbing::slipping_up, Rubbing::sticking});
    CHECK(open.torque[0] == doctest::Approx(0.0).epsilon(1e-12));
    CHECK(open.acceleration[2] == doctest::Approx(0.0).epsilon(1e-12));
    line.faces[0].law.load = {{0.0}, {100.0}};
    line.faces[0].modulations.clear();
    const double torque =
        slip_torque(line.faces[0].law, Rubbing::slipping_up, 0.0, line.masses[0].reference_speed);
    const SteadyState pulled = steady_state(line);
    CHECK(pulled.torque[0] == near(torque, 1e-9));
}

TEST_CASE("faces that share an inertia, and swings beyond the load, are refused") {
    Driveline line = two_with_faces(0.2, 0.7, 10.0, 0.0, faces_of(1.0));
    line.faces.push_back(line.faces[0]);
    CHECK_THROWS_AS(check(line), ModelError);
    line.faces.pop_back();
    CHECK_NOTHROW(check(line));
    line.faces[0].modulations = {{{{0, 1.0}}, 1.5, 0.0}};
    CHECK_THROWS_AS(check(line), ModelError);
}
