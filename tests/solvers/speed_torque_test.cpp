// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/elements/torque_source.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/general/general_solver.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <vector>

using namespace damper;

namespace {

CrankTorque torque_of(double mean, double cosine, double sine) {
    return {.mean = mean, .harmonics = {{2.0, cosine, sine}, {4.0, 0.3 * sine, 0.2 * cosine}}};
}

SpeedTorque some_torque() {
    return {.speeds = {20.0, 40.0, 60.0, 90.0},
            .maps = {{.from = 0.0,
                      .at = {torque_of(40.0, 5.0, 30.0), torque_of(60.0, -8.0, 40.0),
                             torque_of(55.0, 2.0, 20.0), torque_of(20.0, 9.0, 12.0)}},
                     {.from = 0.8,
                      .at = {torque_of(10.0, 1.0, 3.0), torque_of(-20.0, -2.0, 4.0),
                             torque_of(-45.0, 2.0, 6.0), torque_of(-70.0, 3.0, 8.0)}}}};
}

/// An engine and a load on a shaft.
Driveline two_on_a_shaft(TorqueSource source) {
    Driveline line;
    line.masses = {{"engine", 0.4, 30.0}, {"load", 0.6, 30.0}};
    Branch shaft{.name = "shaft", .kind = "shaft", .row = {{0, 1.0}, {1, -1.0}}, .chain = {}};
    shaft.chain.push_back({{{"shaft", linear_spring(900.0, 1.5)}}});
    line.branches.push_back(shaft);
    line.inputs.push_back({.name = "engine torque", .inertia = 0, .source = std::move(source)});
    return line;
}

}  // namespace

TEST_CASE("a torque over speed goes straight from speed to speed and stays beyond the ends") {
    const SpeedTorque source = some_torque();
    for (const double angle : {0.0, 0.7, 5.0}) {
        const auto at = [&](double t, double speed) { return torque(source, t, angle, speed); };
        const auto given = [&](std::size_t map, std::size_t i) {
            return torque(source.maps[map].at[i], 0.0, angle, 0.0);
        };
        CHECK(at(0.0, 40.0) == doctest::Approx(given(0, 1)).epsilon(1e-14));
        CHECK(at(0.0, 75.0) == doctest::Approx(0.5 * (given(0, 2) + given(0, 3))).epsilon(1e-14));
        CHECK(at(0.79, 5.0) == doctest::Approx(given(0, 0)).epsilon(1e-14));
        CHECK(at(0.81, 500.0) == doctest::Approx(given(1, 3)).epsilon(1e-14));
    }
    CHECK(mean_torque(source, 30.0) == doctest::Approx(50.0));
    CHECK(breakpoints(source) == std::vector<double>{0.8});
}

TEST_CASE("torques of other orders get those of all, and stay the torques that they were") {
    CrankTorque smooth{.mean = 3.0, .harmonics = {{2.0, 1.0, 2.0}, {4.0, 0.5, 0.0}}};
    CrankTorque uneven{.mean = 4.0, .harmonics = {{0.5, 0.7, 0.1}, {4.0, 2.0, 1.0}}};
    CrankTorque none{.mean = 5.0, .harmonics = {}};
    std::vector<CrankTorque> before{smooth, uneven, none};
    give_same_orders({&smooth, &uneven, &none});
    const std::vector<const CrankTorque*> after{&smooth, &uneven, &none};
    for (std::size_t i = 0; i < after.size(); ++i) {
        REQUIRE(after[i]->harmonics.size() == 3);
        CHECK(after[i]->harmonics[0].order == 0.5);
        CHECK(after[i]->harmonics[1].order == 2.0);
        CHECK(after[i]->harmonics[2].order == 4.0);
        for (const double angle : {0.3, 2.0, 9.1}) {
            CHECK(torque(*after[i], 0.0, angle, 0.0) == torque(before[i], 0.0, angle, 0.0));
        }
    }
}

TEST_CASE("a torque over speed that does not hang together is refused") {
    const auto broken = [](auto change) {
        SpeedTorque source = some_torque();
        change(source);
        CHECK_THROWS_AS(check(source), ModelError);
    };
    CHECK_NOTHROW(check(some_torque()));
    broken([](SpeedTorque& s) { s.speeds[1] = s.speeds[0]; });
    broken([](SpeedTorque& s) { s.speeds.pop_back(); });
    broken([](SpeedTorque& s) { s.maps.clear(); });
    broken([](SpeedTorque& s) { s.maps[1].from = 0.0; });
    broken([](SpeedTorque& s) { s.maps[0].at[2].harmonics[0].order = 3.0; });
}

TEST_CASE("both solvers agree on a torque over speed, across its kinks and its change in time") {
    const Driveline line = two_on_a_shaft(some_torque());
    const State start = start_state(line);
    const TimeSettings time{
        .end = 1.6, .sample_step = 1e-3, .tolerance = 1e-12, .largest_step = 1e-3, .crank = 0};
    const TimeOutcome exact = solve_exact(line, start, time, nullptr, {});
    const TimeOutcome general = solve_general(line, start, time, nullptr, {});
    REQUIRE(exact.report.complete);
    REQUIRE(general.report.complete);
    // It has passed 40 and 60 rad/s going up, and comes down again after the change.
    CHECK(exact.energy.residual() < 1e-12);
    CHECK(general.energy.residual() < 1e-8);
    for (std::size_t i = 0; i < 2; ++i) {
        CHECK(exact.end.speed[i] == doctest::Approx(general.end.speed[i]).epsilon(1e-7));
        CHECK(exact.end.angle[i] == doctest::Approx(general.end.angle[i]).epsilon(1e-7));
    }
}

// Closed form: J·ω' = a + b·ω inside one piece has ω = (ω₀ + a/b)·e^(b·t/J) − a/b.
TEST_CASE("a torque that falls with speed lets an inertia go exponentially to its speed") {
    Driveline line;
    line.masses = {{"rotor", 0.25, 0.0}};
    line.inputs.push_back(
        {.name = "motor",
         .inertia = 0,
         .source = SpeedTorque{
             .speeds = {0.0, 100.0},
             .maps = {{.from = 0.0,
                       .at = {CrankTorque{.mean = 50.0, .harmonics = {}}, CrankTorque{}}}}}});
    const TimeSettings time{
        .end = 0.7, .sample_step = 1e-2, .tolerance = 1e-11, .largest_step = 1e-2, .crank = 0};
    const double expected = 100.0 * -std::expm1(-0.5 * 0.7 / 0.25);
    CHECK(solve_exact(line, start_state(line), time, nullptr, {}).end.speed[0] ==
          doctest::Approx(expected).epsilon(1e-12));
    CHECK(solve_general(line, start_state(line), time, nullptr, {}).end.speed[0] ==
          doctest::Approx(expected).epsilon(1e-9));
}
