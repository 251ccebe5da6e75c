// SPDX-License-Identifier: MIT
#include "libdamper/solvers/orbit/orbit_curve.hpp"
#include "libdamper/studies/orbit_family.hpp"

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
constexpr double step = 1e-3;          // of the speed, from one settled run of a sweep to the next
constexpr int periods_to_settle = 60;  // the shuffle, which takes longest, is down to e⁻⁹ then
constexpr int most_steps = 60;
constexpr double jump = 0.05;  // of the amplitude, in a step; elsewhere it changes by 0.002

/// Of the gearbox input's speed at the firing order.
double amplitude(const OrbitFamily& car, const PeriodicMotion& motion) {
    const auto input = static_cast<std::size_t>(car.assembled().input_shaft);
    const Eigen::VectorXd speed = motion.basis.derivative(motion.angle(input));
    return std::hypot(speed(1), speed(2));
}

/// The last point between two of the curve that is nearest to a speed.
std::size_t nearest(const OrbitCurve& curve, std::size_t first, std::size_t last, double speed) {
    std::size_t best = first;
    for (std::size_t i = first; i <= last; ++i) {
        if (std::abs(curve.points[i].parameter - speed) <=
            std::abs(curve.points[best].parameter - speed)) {
            best = i;
        }
    }
    return best;
}

/// Exact runs at one speed after the other, each going on from where the last one settled; the mean
/// of the two speeds between which the motion jumps, 0 if it does not.
double jump_speed(const OrbitFamily& car, const OrbitCurve& curve, std::size_t point, double by) {
    const auto vehicle = static_cast<std::size_t>(car.assembled().vehicle);
    double speed = curve.points[point].parameter;
    State now = time_problem(car.at(speed), curve.points[point].motion).start;
    double last = 0.0;
    for (int k = 0; k < most_steps; ++k, speed *= 1.0 + by) {
        PeriodicProblem problem = car.at(speed);
        // Both branches need nearly the same torque to hold the speed.
        const std::size_t like = nearest(curve, 0, curve.points.size() - 1, speed);
        problem.line = time_problem(problem, curve.points[like].motion).line;
        // The whole line to the new mean speed; what swings goes on as it is.
        const std::vector<RotatingMass>& masses = problem.line.masses;
        const double gain = -now.speed[vehicle] / masses[vehicle].reference_speed;
        for (std::size_t i = 0; i < masses.size(); ++i) {
            now.speed[i] += gain * masses[i].reference_speed;
        }
        now.time = 0.0;
        const SettledMotion settled = settled_motion(problem, now, periods_to_settle, 24);
        CAPTURE(settled.why_not);
        REQUIRE(settled.why_not.empty());
        const double here = amplitude(car, settled.motion);
        if (k > 0 && std::abs(here - last) > jump * last) return speed / (1.0 + 0.5 * by);
        last = here;
        now = settled.start;
    }
    return 0.0;
}

}  // namespace

TEST_CASE("a car with three stages jumps in slow sweeps in time where its curve folds") {
    // 9 % of the peak torque in gear 1 lies at the corner between the middle and the main stage.
    const OrbitFamily car(shipped_scenario("car_idle_cold_three_stage"),
                          {.curve = OperatingCurve::pull,
                           .gear = "1",
                           .load = 0.09,
                           .from = 3000.0 * rpm,
                           .to = 4200.0 * rpm});
    const PeriodicFamily family = [&](double speed) { return car.at(speed); };
    const PeriodicProblem top = family(4200.0 * rpm);
    const PeriodicMotion steady = steady_motion(top, 32);
    const TimeProblem time = time_problem(top, steady);
    PeriodicProblem held = top;
    held.line = time.line;
    const SettledMotion settled = settled_motion(held, time.start, periods_to_settle, 32);
    REQUIRE(settled.why_not.empty());
    PeriodicMotion first = settled.motion;
    first.unknowns(static_cast<Eigen::Index>(top.lead) * first.basis.size()) = steady.balance;
    const OrbitCurve curve =
        follow_orbits(family, first, {.from = 4200.0 * rpm, .to = 3600.0 * rpm});
    CAPTURE(curve.why_not);
    REQUIRE(curve.complete);
    REQUIRE(curve.folds.size() == 2);
    const double down = curve.folds[0].parameter;
    const double up = curve.folds[1].parameter;
    REQUIRE(up > 1.03 * down);

    // Both sweeps begin between the folds, on either branch. A jump lies within a step of its fold,
    // and the runs need some of their periods to leave what is barely there no more.
    const double middle = 0.5 * (down + up);
    const std::size_t above = nearest(curve, 0, curve.folds[0].point, middle);
    const std::size_t below =
        nearest(curve, curve.folds[1].point + 1, curve.points.size() - 1, middle);
    CHECK(jump_speed(car, curve, above, -step) == near(down, 2e-3));
    CHECK(jump_speed(car, curve, below, step) == near(up, 2e-3));
}
