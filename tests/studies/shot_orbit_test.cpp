// SPDX-License-Identifier: MIT
#include "libdamper/solvers/orbit/orbit_curve.hpp"
#include "libdamper/solvers/orbit/repeating_run.hpp"
#include "libdamper/solvers/orbit/shot_motion.hpp"
#include "libdamper/studies/orbit_family.hpp"
#include "libdamper/studies/orbit_study.hpp"
#include "libdamper/studies/shot_point.hpp"

#include "tests/support/near.hpp"
#include "tests/support/shipped.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double rpm = std::numbers::pi / 30.0;
constexpr int orders = 12;

/// Standing, loose gears free: below some 680 rpm the teeth of gear 4 part in every period.
OrbitRequest rattling() {
    return {.curve = OperatingCurve::neutral,
            .gear = {},
            .loose_gears = LooseGears::free,
            .from = 650.0 * rpm,
            .to = 760.0 * rpm};
}

double amplitude(const Eigen::VectorXd& series, int n) {
    return std::hypot(series(2 * n - 1), series(2 * n));
}

}  // namespace

TEST_CASE("where harmonic balance fails, shooting finds what a long exact run settles to") {
    const OrbitFamily car(shipped_scenario("car_idle_hot"), rattling());
    const PeriodicProblem problem = car.at(665.0 * rpm);
    const PeriodicMotion steady = steady_motion(problem, 12);
    const TimeProblem time = time_problem(problem, steady);
    PeriodicProblem held = problem;
    held.line = time.line;
    const SettledMotion settled = settled_motion(held, time.start, 30, 48);
    REQUIRE(settled.why_not.empty());
    PeriodicMotion guess = settled.motion;
    guess.balance = steady.balance;
    guess.unknowns(static_cast<Eigen::Index>(problem.lead) * guess.basis.size()) = steady.balance;
    CHECK(!solve_motion(problem, guess, {.from = 1.0, .to = 2.0}).found);

    const ShotMotion shot = shoot_motion(problem, steady, settled.start);
    CAPTURE(shot.why_not);
    REQUIRE(shot.why_not.empty());
    CHECK(shot.periods == 1);
    CHECK(shot.speed == near(665.0 * rpm, 1e-5));  // as ShotSettings asks
    const OrbitPoint point = shot_point(car.assembled(), shot, orders);
    CHECK(point.stable);
    CHECK(point.mode_changes > 0);

    // The run begins off the orbit: gearbox input and loose gears half the swing faster or slower
    // than on it. All that fades quickly is gone after 400 periods (0.71 a period); the mean speed,
    // which takes 1200 periods to come back, is barely touched by that. Orders that are next to
    // nothing are judged against the largest.
    PeriodicProblem run = problem;
    run.line = shot.line;
    State off = shot.orbit.start;
    const double kick = 0.5 * point.swing[1];
    off.speed[static_cast<std::size_t>(car.assembled().input_shaft)] += kick;
    for (const Assembled::LooseGear& gear : car.assembled().loose_gears) {
        for (const RowEntry& entry : run.line.branches[static_cast<std::size_t>(gear.branch)].row) {
            if (entry.inertia != car.assembled().input_shaft) {
                off.speed[static_cast<std::size_t>(entry.inertia)] -= kick;
            }
        }
    }
    const SettledMotion first = settled_motion(run, off, 1, 48);
    const SettledMotion last = settled_motion(run, off, 400, 48);
    REQUIRE(first.why_not.empty());
    REQUIRE(last.why_not.empty());
    for (const auto& [signal, inertia] :
         {std::pair{0, car.assembled().engine}, std::pair{1, car.assembled().input_shaft}}) {
        const Eigen::VectorXd speed =
            last.motion.basis.derivative(last.motion.angle(static_cast<std::size_t>(inertia)));
        const std::vector<double>& found = point.amplitude[static_cast<std::size_t>(signal)];
        const double largest = *std::max_element(found.begin(), found.end());
        REQUIRE(largest > 0.1);
        const Eigen::VectorXd at_first =
            first.motion.basis.derivative(first.motion.angle(static_cast<std::size_t>(inertia)));
        if (signal == 1) CHECK(std::abs(found[0] - amplitude(at_first, 1)) > 0.02 * found[0]);
        for (int n = 1; n <= orders; ++n) {
            CAPTURE(signal);
            CAPTURE(n);
            const double here = found[static_cast<std::size_t>(n - 1)];
            CHECK(std::abs(here - amplitude(speed, n)) <= 0.01 * std::max(here, 0.01 * largest));
        }
    }
}

TEST_CASE("a curve goes on by shooting where its teeth begin to part, and says of each how") {
    const OrbitRecord record =
        find_orbits(shipped_scenario("car_idle_hot"),
                    {.request = rattling(), .checks = 4, .restart_after = 0.025});
    CHECK(record.complete);
    // Exact runs begun on a shot motion stay on it.
    for (const OrbitCheck& check : record.checks) {
        CAPTURE(check.engine_speed / rpm);
        CHECK(check.periods == 1);
        CHECK(std::abs(check.deviation) < 1e-3);
    }
    std::size_t shot = 0;
    for (const OrbitPoint& point : record.points) {
        CAPTURE(point.engine_speed / rpm);
        if (point.method == OrbitMethod::shooting) {
            ++shot;
            CHECK(point.engine_speed < 690.0 * rpm);
            CHECK(point.harmonics == 0);
            CHECK(point.closing_error < 1e-8);  // as ShotSettings asks
        } else {
            CHECK(point.harmonics > 0);
        }
    }
    CHECK(shot > 10);
    CHECK(shot < record.points.size());
    // The engine gives as much swing on either side of where the methods meet.
    for (std::size_t k = 1; k < record.points.size(); ++k) {
        const OrbitPoint& before = record.points[k - 1];
        const OrbitPoint& here = record.points[k];
        if (before.method == here.method) continue;
        CHECK(here.amplitude[0][0] == near(before.amplitude[0][0], 0.03));
    }
}

TEST_CASE("a motion that takes two periods to repeat is seen in an exact run, shot, and kept") {
    // At 515 rpm the teeth of gears 2 to 4 hit otherwise in every other period.
    OrbitRequest request = rattling();
    request.from = 500.0 * rpm;
    const OrbitFamily car(shipped_scenario("car_idle_hot"), request);
    request.loose_gears = LooseGears::held;
    const OrbitFamily quiet(shipped_scenario("car_idle_hot"), request);
    PeriodicProblem problem = car.at(515.0 * rpm);
    const PeriodicProblem held = quiet.at(515.0 * rpm);
    const SolvedMotion before =
        solve_motion(held, steady_motion(held, 12), {.from = 1.0, .to = 2.0});
    REQUIRE(before.found);
    const TimeProblem time = time_problem(problem, before.motion);
    problem.line = time.line;
    RepeatSettings look{.settling = 30,
                        .watched = {static_cast<std::size_t>(car.assembled().input_shaft)}};
    const RepeatingRun run = find_repeat(problem, time.start, look);
    REQUIRE(run.periods == 2);
    const ShotMotion shot =
        shoot_motion(car.at(515.0 * rpm), before.motion, run.start, {.first_periods = 2});
    CAPTURE(shot.why_not);
    REQUIRE(shot.why_not.empty());
    REQUIRE(shot.periods == 2);
    CHECK(shot.speed == near(515.0 * rpm, 1e-5));
    CHECK(shot_point(car.assembled(), shot, orders).stable);
    problem.line = shot.line;
    const RepeatingRun kept = find_repeat(problem, shot.orbit.start, look);
    CHECK(kept.periods == 2);
    CHECK(kept.change < 1e-4);  // what is found closes to 1e-6 at worst
}

TEST_CASE("where nothing repeats, the record says by how much an exact run changes") {
    // On a full pull in gear 3 all loose gears rattle, none of them with a period.
    OrbitStudySettings settings{.request = rattling()};
    settings.request.curve = OperatingCurve::pull;
    settings.request.gear = "3";
    settings.request.from = 1690.0 * rpm;
    settings.request.to = 1700.0 * rpm;
    settings.restart_after = 0.25;
    const OrbitRecord record = find_orbits(shipped_scenario("car_idle_hot"), settings);
    CHECK(record.points.empty());
    CHECK_FALSE(record.complete);
    REQUIRE(record.unsettled.size() >= 4);
    for (const OrbitUnsettled& run : record.unsettled) {
        CHECK(run.change > 0.1);
        CHECK(run.amplitude > 0.0);
        CHECK_FALSE(run.repeats);
    }
    REQUIRE(record.gaps.size() == 1);
    CHECK(record.gaps[0].why.find("has no period there") != std::string::npos);
}

TEST_CASE("shooting over less than a period is refused") {
    const OrbitFamily car(shipped_scenario("car_idle_hot"), rattling());
    const PeriodicProblem problem = car.at(700.0 * rpm);
    const PeriodicMotion steady = steady_motion(problem, 4);
    const TimeProblem time = time_problem(problem, steady);
    CHECK_THROWS((void)shoot_motion(problem, steady, time.start, {.most_periods = 0}));
}
