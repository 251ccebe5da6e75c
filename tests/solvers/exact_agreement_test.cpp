// SPDX-License-Identifier: MIT
// The exact solver against the general one, which shares neither its stepping nor its search for
// mode changes with it.
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/general/general_solver.hpp"

#include "tests/support/line_trace.hpp"
#include "tests/support/random_lines.hpp"
#include "tests/support/small_lines.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <string>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double energy_rounding = 1e-11;  // of the turnover

/// Both solvers over the same time. The general one's own spread between two tolerances says how
/// near it can be to anything; the exact one must lie within a small multiple of the spread of the
/// tight ones. Chaos makes that spread grow with time: compared is as long as it stays small.
void compare(const RandomLine& random, double end) {
    const TimeSettings settings{.end = end, .sample_step = end / 30.0};
    const auto general = [&](double tolerance) {
        TimeSettings own = settings;
        own.tolerance = tolerance;
        LineTrace trace;
        const TimeOutcome out = solve_general(random.line, random.start, own, &trace);
        REQUIRE(out.report.complete);
        return trace;
    };
    LineTrace exact;
    const TimeOutcome out = solve_exact(random.line, random.start, settings, &exact);
    CAPTURE(out.report.warnings.size());
    REQUIRE(out.report.complete);
    CHECK(out.energy.residual() < energy_rounding);

    const LineTrace loose = general(1e-8), tight = general(1e-11), tightest = general(1e-13);
    const double spread = largest_share(tight.speed, tightest.speed);
    CAPTURE(spread);
    CHECK(spread < 1e-6);  // else the comparison would say nothing
    const double far = largest_share(exact.speed, loose.speed);
    const double near = largest_share(exact.speed, tight.speed);
    const double nearest = largest_share(exact.speed, tightest.speed);
    CAPTURE(far);
    CAPTURE(near);
    const double rounding = 1e-11;
    CHECK(near < far + rounding);
    CHECK(near < 4.0 * spread + rounding);
    CHECK(nearest < spread + rounding);
}

/// A hub under a sine torque with loose gears in lash, each dragged along: all of them rattle.
RandomLine star(int gears, double damping) {
    LineBuilder line;
    line.mass("hub", 0.02, 80.0);
    for (int i = 0; i < gears; ++i) {
        line.mass("gear " + std::to_string(i), 2e-4 * (1 + i % 7), 80.0 * (0.5 + 0.1 * i));
    }
    for (int i = 0; i < gears; ++i) {
        const double k = 1e5 * (1 + i % 3), ratio = 0.5 + 0.1 * i;
        line.element("tooth " + std::to_string(i), {{0, ratio}, {i + 1, -1.0}},
                     lash({.gap = 1e-3 * (1 + i % 4), .stiffness = k, .damping = damping}));
        line.element("drag " + std::to_string(i), {{i + 1, 1.0}},
                     slider({.limit = 0.01 + 0.003 * i, .grip = 20.0, .viscous = 1e-4}));
    }
    line.element("stage", {{0, 1.0}}, slider({.limit = 0.3, .grip = 500.0}));
    line.input(0, SineTorque{.mean = 1.0, .amplitude = 25.0, .frequency = 160.0});
    line.input(
        0, CrankTorque{.harmonics = {{.order = 2.0, .cosine = 10.0}, {.order = 4.5, .sine = 3.0}}});
    RandomLine out{line.done(), {}};
    out.start = start_state(out.line);
    return out;
}

}  // namespace

TEST_CASE("exact against general: drivelines of 2 to 24 inertias drawn by lot") {
    for (unsigned seed = 100; seed < 114; ++seed) {
        CAPTURE(seed);
        compare(random_line(seed, {.fewest = 2, .most = 24}), 0.015);
    }
}

TEST_CASE("exact against general: every kind of torque, crank harmonics of all half orders") {
    for (unsigned seed = 200; seed < 224; ++seed) {
        CAPTURE(seed);
        compare(random_line(seed, {.fewest = 2, .most = 10, .any_torque = true}), 0.015);
    }
}

TEST_CASE("exact against general: splines in play in series with springs") {
    for (unsigned seed = 300; seed < 316; ++seed) {
        CAPTURE(seed);
        compare(random_line(seed, {.fewest = 2, .most = 8, .series_cells = true}), 0.015);
    }
}

TEST_CASE("exact against general: a hub with twenty gears that rattle") {
    for (const double damping : {0.0, 0.5}) {
        CAPTURE(damping);
        compare(star(20, damping), 0.012);
    }
}

TEST_CASE("exact against general: a long chain, all coupled, with and without damping") {
    for (const double damping : {0.0, 0.3}) {
        CAPTURE(damping);
        LineBuilder line;
        constexpr int count = 24;
        for (int i = 0; i < count; ++i) line.mass("inertia " + std::to_string(i), 0.01 + 0.002 * i);
        for (int i = 1; i < count; ++i) {
            line.element("spring " + std::to_string(i), {{i - 1, 1.0}, {i, -1.0}},
                         linear_spring(2000.0 + 100.0 * i, damping));
        }
        line.input(0, SineTorque{.amplitude = 20.0, .frequency = 300.0, .phase = 1.0});
        line.input(count - 1, TorqueRamp{.to = -30.0, .start = 0.004, .rise = 0.01, .lag = 0.003});
        RandomLine chain{line.done(), {}};
        chain.start = start_state(chain.line);
        compare(chain, 0.03);
    }
}

TEST_CASE("exact against general: a light crank that its own torque throws about") {
    // The speed is far from uniform within a turn, from standstill on.
    for (const double speed : {0.0, 5.0, 80.0}) {
        CAPTURE(speed);
        LineBuilder line;
        line.mass("crank", 2e-3, speed).mass("load", 0.05, speed);
        line.element("spring", {{0, 1.0}, {1, -1.0}}, linear_spring(500.0, 0.05));
        CrankTorque torque{.mean = 2.0, .harmonics = {}};
        for (int half = 1; half <= 24; ++half) {
            torque.harmonics.push_back(
                {.order = 0.5 * half, .cosine = 40.0 / half, .sine = 25.0 / half});
        }
        line.input(0, torque);
        RandomLine thrown{line.done(), {}};
        thrown.start = start_state(thrown.line);
        compare(thrown, 0.02);
    }
}

TEST_CASE("exact against general: a torque that begins with the fourth power of the angle") {
    // (1 − cos θ)² = 3/2 − 2·cos θ + ½·cos 2θ: its first four orders are zero at θ = 0.
    LineBuilder line;
    line.mass("crank", 0.01, 50.0);
    line.input(0, CrankTorque{.mean = 30.0,
                              .harmonics = {{.order = 1.0, .cosine = -40.0},
                                            {.order = 2.0, .cosine = 10.0}}});
    RandomLine smooth{line.done(), {}};
    smooth.start = start_state(smooth.line);
    compare(smooth, 0.05);
}
