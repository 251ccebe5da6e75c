// SPDX-License-Identifier: MIT
#include "libdamper/assemble/assemble.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/solvers/exact/shooting.hpp"
#include "libdamper/solvers/orbit/orbit_curve.hpp"
#include "libdamper/solvers/orbit/repeating_run.hpp"

#include "tests/support/near.hpp"
#include "tests/support/shipped.hpp"
#include "tests/support/small_lines.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double pi = std::numbers::pi;

PeriodicProblem idle_problem(const Assembled& a, double order) {
    PeriodicProblem out{.line = a.line, .start = steady_state(a.line).state};
    out.lead = static_cast<std::size_t>(a.engine);
    out.omega = order * a.line.masses[out.lead].reference_speed;
    out.balanced_at = a.engine;
    return out;
}

}  // namespace

TEST_CASE("products with a function of pieces are those of numerical integration") {
    const FourierBasis basis{.harmonics = 4, .omega = 3.0};
    PieceSums sums(8, basis.omega);
    sums.add(2.0, 0.1, 0.9);
    sums.add(-1.0, 0.9, 1.4);
    Eigen::VectorXd x(9);
    x << 0.3, 1.0, -0.5, 0.2, 0.1, -0.4, 0.6, 0.05, -0.2;
    const Eigen::VectorXd product = sums.product(4, 4) * x;
    // Midpoint rule between the jumps, piece by piece: error (h·ω·4)²/24 < 1e-8.
    Eigen::VectorXd expected = Eigen::VectorXd::Zero(9);
    const auto piece = [&](double height, double from, double to) {
        const int steps = 40000;
        const double h = (to - from) / steps;
        for (int i = 0; i < steps; ++i) {
            const double t = from + (i + 0.5) * h;
            expected += basis.at(t) * (height * evaluate(basis, x, t).value * h);
        }
    };
    piece(2.0, 0.1, 0.9);
    piece(-1.0, 0.9, 1.4);
    expected *= 2.0 / basis.period();
    expected(0) *= 0.5;
    CHECK((product - expected).cwiseAbs().maxCoeff() < 1e-8);
}

TEST_CASE("the balance's Jacobian is that of central differences, mode changes included") {
    const Assembled a = assemble(shipped_scenario("car_idle_cold_three_stage"));
    PeriodicBalance balance(idle_problem(a, 2.0), 6);
    const Eigen::Index size = static_cast<Eigen::Index>(a.line.masses.size()) * 13;
    Eigen::VectorXd x = Eigen::VectorXd::Zero(size);
    // A swing of the flywheel and less behind it: the disc goes through its stages.
    x(static_cast<Eigen::Index>(a.engine) * 13 + 1) = 0.15;
    x(static_cast<Eigen::Index>(a.engine) * 13 + 3) = 0.02;
    for (std::size_t i = 0; i < a.line.masses.size(); ++i) {
        x(static_cast<Eigen::Index>(i) * 13) = steady_state(a.line).state.angle[i];
    }
    const auto at = [&](const Eigen::VectorXd& y) {
        PeriodicBalance fresh(idle_problem(a, 2.0), 6);
        REQUIRE(fresh.evaluate(y));
        return fresh.residual();
    };
    REQUIRE(balance.evaluate(x));
    REQUIRE(balance.factorise());
    REQUIRE(balance.motion(x).switches > 4);
    const Eigen::MatrixXd jacobian = balance.jacobian();
    const double scale = jacobian.cwiseAbs().maxCoeff();
    // The teeth press in by some 1e-7 rad only: a larger step would part them.
    const double h = 1e-9;
    for (Eigen::Index c = 0; c < size; ++c) {
        Eigen::VectorXd up = x;
        Eigen::VectorXd down = x;
        up(c) += h;
        down(c) -= h;
        const Eigen::VectorXd expected = (at(up) - at(down)) / (2.0 * h);
        CAPTURE(c);
        // Rounding: 1e-16 of torques up to 1e3 N m over the step of 1e-9 rad.
        CHECK((jacobian.col(c) - expected).cwiseAbs().maxCoeff() < 1e-6 * scale);
    }
    const Eigen::VectorXd right = Eigen::VectorXd::LinSpaced(size, -1.0, 2.0);
    CHECK((jacobian * balance.solve(right) - right).norm() < 1e-6 * right.norm());
}

TEST_CASE("idle by harmonic balance closes in an exact run over one period") {
    const Assembled a = assemble(shipped_scenario("car_idle_cold_three_stage"));
    const PeriodicProblem problem = idle_problem(a, 2.0);
    const SolvedMotion found =
        solve_motion(problem, resting_motion(problem, 24),
                     {.least_harmonics = 24, .most_harmonics = 48, .truncation = 1e-3});
    CAPTURE(found.why_not);
    REQUIRE(found.found);
    const TimeProblem time = time_problem(problem, found.motion);
    const double speed = time.line.masses[problem.lead].reference_speed;
    const Orbit orbit = find_orbit(
        time.line, time.start,
        {.lead = problem.lead, .angle = pi, .longest_period = 3.0 * pi / speed, .tolerance = 1e-9});
    CAPTURE(orbit.why_not);
    REQUIRE(orbit.found);
    CHECK(orbit.period == near(pi / speed, 1e-5));
    // The harmonics left out are 1e-3 of the swing at most.
    const double swing = found.motion.basis.derivative(found.motion.angle(problem.lead)).norm();
    for (std::size_t i = 0; i < time.line.masses.size(); ++i) {
        CAPTURE(time.line.masses[i].name);
        const double expected = evaluate(found.motion.basis, found.motion.angle(i), 0.0).rate;
        CHECK(std::abs(orbit.start.speed[i] - expected) < 2e-3 * swing);
    }
}

TEST_CASE("a mean slip stands in the mean twist of a damper") {
    // Two inertias coupled by a damper alone: what is put in at one and held at the other makes
    // them slip by torque/damping.
    LineBuilder line;
    line.mass("belt", 1.0, 50.0)
        .mass("vehicle", 20.0, 50.0)
        .element("slip", {{0, 1.0}, {1, -1.0}}, linear_spring(0.0, 4.0))
        .input(0, ConstantTorque{6.0});
    PeriodicProblem problem{.line = line.done(), .start = start_state(line.done())};
    problem.omega = 25.0;
    problem.balanced_at = 1;
    const SolvedMotion found =
        solve_motion(problem, resting_motion(problem, 2), {.least_harmonics = 2});
    REQUIRE(found.found);
    CHECK(found.motion.balance == near(-6.0, 1e-12));
    const TimeProblem time = time_problem(problem, found.motion);
    CHECK(time.line.masses[1].reference_speed == near(50.0 - 1.5, 1e-12));
    CHECK(time.neutral == 1);
}

TEST_CASE("a wave at a third of the first order repeats after three periods, a foreign one never") {
    // x'' + 2·0.1·ω·x' + ω²·x driven at ω_1 and at a part of it: linear, so that it settles to the
    // sum of both waves (e^(−0.1·ω·t), gone after 100 periods), which repeats when both do.
    const auto run_with = [](double part, int most) {
        LineBuilder line;
        line.mass("disc", 1.0)
            .element("spring", {{0, 1.0}}, linear_spring(2500.0, 10.0))
            .input(0, SineTorque{.amplitude = 5.0, .frequency = 10.0, .phase = 0.0})
            .input(0, SineTorque{.amplitude = 3.0, .frequency = 10.0 * part, .phase = 0.7});
        PeriodicProblem problem{.line = line.done(), .start = start_state(line.done())};
        problem.omega = 10.0;
        return find_repeat(problem, problem.start,
                           {.settling = 100, .most_periods = most, .watched = {0}});
    };
    const RepeatingRun third = run_with(1.0 / 3.0, 8);
    CHECK(third.periods == 3);
    CHECK(third.nearest == 3);
    CHECK(third.change < 1e-9);
    const RepeatingRun golden = run_with(0.5 * (std::sqrt(5.0) - 1.0), 8);
    CHECK(golden.periods == 0);
    CHECK(golden.nearest == 8);  // of the Fibonacci numbers, 8 brings both waves nearest again
    CHECK(golden.change > 0.05);
    CHECK(run_with(1.0 / 3.0, 2).periods == 0);
    CHECK_THROWS((void)run_with(1.0, 0));
}
