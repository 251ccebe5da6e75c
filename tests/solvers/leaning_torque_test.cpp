// SPDX-License-Identifier: MIT
// A torque that leans on another inertia: both solvers in time, the steady state and the periodic
// balance must take it as the row that it is.
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/exact/shooting.hpp"
#include "libdamper/solvers/general/general_solver.hpp"

#include "tests/support/near.hpp"
#include "tests/support/small_lines.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double pi = std::numbers::pi;

/// A rotor that turns in a case on a spring; the torque on the rotor leans on the case.
Driveline rotor_in_case(TorqueSource source, double case_stiffness, double share) {
    Driveline line = LineBuilder()
                         .mass("rotor", 0.2, 80.0)
                         .mass("case", 5.0)
                         .element("mount", {{1, -1.0}}, linear_spring(case_stiffness, 30.0))
                         .done();
    line.inputs.push_back({.name = "torque",
                           .inertia = 0,
                           .source = std::move(source),
                           .reaction = {.inertia = 1, .factor = -share}});
    return line;
}

using Solve = TimeOutcome (*)(const Driveline&, const State&, const TimeSettings&, Sink*,
                              const Progress&);

}  // namespace

TEST_CASE("without a ground a leaning torque leaves the sum of the momenta alone") {
    for (const Solve solve : {Solve{solve_exact}, Solve{solve_general}}) {
        Driveline line = rotor_in_case(
            SineTorque{.mean = 3.0, .amplitude = 20.0, .frequency = 50.0}, 2000.0, 1.0);
        line.branches.clear();
        const TimeOutcome out =
            solve(line, start_state(line), {.end = 0.7, .sample_step = 0.1}, nullptr, {});
        CHECK(std::abs(out.end.speed[0]) > 1.0);
        CHECK(std::abs(0.2 * out.end.speed[0] + 5.0 * out.end.speed[1]) <
              1e-8 * std::abs(0.2 * out.end.speed[0]));
        CHECK(out.energy.residual() < 1e-8);
    }
}

TEST_CASE("the case swings as a mass on a spring under the torque turned round") {
    // K. Magnus and others, any textbook: amplitude T/(k − J·w² + i·c·w); here derived.
    const double w = 2.0 * pi * 20.0, k = 18000.0, c = 30.0, j = 5.0, torque = 40.0, share = 0.8;
    const Driveline line = rotor_in_case(SineTorque{.amplitude = torque, .frequency = w}, k, share);
    AngleTrace trace(1);
    const TimeOutcome out =
        solve_exact(line, start_state(line), {.end = 6.0, .sample_step = 1e-3}, &trace, {});
    CHECK(out.energy.residual() < 1e-10);
    const double expected = share * torque / std::hypot(k - j * w * w, c * w);
    double largest = 0.0;
    for (std::size_t i = trace.time.size() / 2; i < trace.time.size(); ++i) {
        largest = std::max(largest, std::abs(trace.angle[i]));
    }
    // Samples of 50 a period meet a top to within 1 − cos(π/50); the start has died to e^-9.
    CHECK(largest == near(expected, 3e-3));
}

TEST_CASE("a torque by crank angle goes by the angle in the case: both solvers agree") {
    const CrankTorque torque{.mean = 0.0, .harmonics = {{2.0, 15.0, 40.0}, {4.0, 5.0, 0.0}}};
    const Driveline line = rotor_in_case(torque, 3000.0, 1.0);
    const TimeSettings time{.end = 0.6, .sample_step = 0.1, .tolerance = 1e-11};
    const State start = steady_state(line).state;
    const TimeOutcome exact = solve_exact(line, start, time, nullptr, {});
    const TimeOutcome general = solve_general(line, start, time, nullptr, {});
    for (std::size_t i = 0; i < 2; ++i) {
        CHECK(general.end.angle[i] == near(exact.end.angle[i], 1e-7));
        CHECK(general.end.speed[i] == near(exact.end.speed[i], 1e-6));
    }
    CHECK(exact.energy.residual() < 1e-12);
    CHECK(general.energy.residual() < 1e-7);
    // Seen from the case: the same with a case that cannot turn differs by far more.
    const Driveline still = rotor_in_case(torque, 3e9, 1.0);
    const TimeOutcome held = solve_exact(still, start, time, nullptr, {});
    CHECK(std::abs(held.end.angle[0] - exact.end.angle[0]) > 1e-4);
}

TEST_CASE("in the steady state the ground takes the mean of a leaning torque") {
    Driveline line = rotor_in_case(ConstantTorque{12.0}, 2400.0, 1.0);
    line.branches.push_back({.name = "brake",
                             .kind = "drag",
                             .row = {{0, 1.0}},
                             .damping = 12.0 / 80.0,
                             .chain = {{{{"brake", linear_spring(0.0, 0.0)}}}}});
    const SteadyState steady = steady_state(line);
    CHECK(steady.acceleration[0] == doctest::Approx(0.0));
    CHECK(steady.torque[0] == near(12.0, 1e-12));
    CHECK(steady.state.angle[1] == near(-12.0 / 2400.0, 1e-12));
}
