// SPDX-License-Identifier: MIT
// Drivelines and starts that are meant to break the exact solver: each ends soon, with the right
// answer or with a word that says when and where.
#include "libdamper/base/error.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/general/general_solver.hpp"

#include "tests/support/line_trace.hpp"
#include "tests/support/near.hpp"
#include "tests/support/small_lines.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <limits>
#include <numbers>
#include <string>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double inf = std::numeric_limits<double>::infinity();

EventfulOutcome run(const Driveline& line, const State& start, double end, Sink* sink = nullptr) {
    return solve_with_events(line, start, {.end = end, .sample_step = end / 20.0}, sink);
}

/// A single inertia in an undamped gap; touches at gap/2/speed and leaves half a swing later.
struct Ball {
    double inertia = 1e-3, gap = 2e-3, stiffness = 2e5, speed = 0.5;
    [[nodiscard]] Driveline line() const {
        return LineBuilder()
            .mass("ball", inertia)
            .element("plate", {{0, 1.0}}, lash({.gap = gap, .stiffness = stiffness}))
            .done();
    }
    [[nodiscard]] State start() const {
        State state = start_state(line());
        state.speed[0] = speed;
        return state;
    }
    [[nodiscard]] double flight() const { return gap / speed; }
    [[nodiscard]] double contact() const { return pi * std::sqrt(inertia / stiffness); }
};

}  // namespace

TEST_CASE("exact solver faults: a ball bounces down to rest on a damped plate") {
    // Restitution of each bounce and flight times in between: as long as the load is small against
    // the contact, flights shrink by e each, v' = e·v, and last 2·v·J/T.
    const double k = 2e5, j = 1e-3, load = 0.005;
    const double zeta = 0.1, e = 0.744079;  // derived; see tests/published/oscillators_test.cpp
    const Driveline line =
        LineBuilder()
            .mass("ball", j)
            .element("plate", {{0, 1.0}},
                     lash({.gap = 0.1, .stiffness = k, .damping = 2.0 * zeta * std::sqrt(k * j)}))
            .input(0, ConstantTorque{load})
            .done();
    State start = start_state(line);
    start.angle[0] = 0.05;
    start.speed[0] = -0.3;
    const EventfulOutcome out = run(line, start, 1.0);
    REQUIRE(out.report.complete);
    const auto& impacts = out.events.impacts;
    REQUIRE(impacts.size() > 8);
    CHECK(impacts.size() < 100);
    CHECK(impacts[0].closing_speed == near(0.3, 1e-12));
    for (std::size_t i = 0; i + 1 < 5; ++i) {
        CAPTURE(i);
        // The load holds the ball in its contact for longer, the more so the smaller the force.
        const double share = load / (impacts[i].closing_speed * std::sqrt(k * j));
        CHECK(impacts[i + 1].closing_speed == near(e * impacts[i].closing_speed, 0.6 * share));
        const double flight = impacts[i + 1].time - impacts[i].time - impacts[i].duration;
        CHECK(flight == near(2.0 * impacts[i + 1].closing_speed * j / load, 2e-2));
    }
    CHECK(std::abs(out.end.angle[0] - 0.05 - load / k) < 1e-15);
    CHECK(std::abs(out.end.speed[0]) < 1e-12);
    CHECK(out.energy.residual() < 1e-11);
}

TEST_CASE(
    "exact solver faults: very stiff stops and very light inertias bounce as the closed form "
    "says") {
    for (const double stiffness : {1e6, 1e8, 1e10}) {
        for (const double inertia : {1e-3, 1e-6, 1e-9}) {
            CAPTURE(stiffness);
            CAPTURE(inertia);
            const Ball ball{.inertia = inertia, .stiffness = stiffness};
            const double period = ball.flight() + ball.contact();
            // Twenty bounces, ending in the middle of the gap.
            const double end = 20.0 * period;
            const EventfulOutcome out = run(ball.line(), ball.start(), end);
            REQUIRE(out.report.complete);
            CHECK(out.events.impacts.size() == 20);
            // The angle at the face has the digits of the gap, the penetration is far smaller.
            const double depth = 0.5 * std::sqrt(inertia / stiffness);
            const double rounding = 40.0 * 2.2e-16 * ball.gap / depth + 1e-13;
            CHECK(std::abs(out.end.angle[0]) < rounding * 20.0 * ball.gap);
            CHECK(out.end.speed[0] == near(0.5, rounding));
        }
    }
}

TEST_CASE("exact solver faults: very heavy beside very light") {
    const double heavy = 1e5, light = 1e-8, k = 1e3;
    const Driveline line = LineBuilder()
                               .mass("vehicle", heavy)
                               .mass("gear", light)
                               .element("tie", {{0, 1.0}, {1, -1.0}}, linear_spring(k, 0.0))
                               .done();
    State start = start_state(line);
    start.speed[1] = 1.0;
    const double w = std::sqrt(k / light * (1.0 + light / heavy));
    const double end = (200.25 * 2.0 * pi) / w;
    const EventfulOutcome out = run(line, start, end);
    REQUIRE(out.report.complete);
    CHECK(out.end.angle[1] * w == near(1.0, 1e-9));
    CHECK(std::abs(out.end.speed[1]) < 1e-9);
}

TEST_CASE("exact solver faults: two gears that touch at the same instant") {
    LineBuilder builder;
    builder.mass("hub", 0.01);
    for (const char* name : {"gear a", "gear b", "gear c"}) builder.mass(name, 1e-3);
    for (int i = 1; i <= 3; ++i) {
        builder.element("tooth " + std::to_string(i), {{0, 1.0}, {i, -1.0}},
                        lash({.gap = 2e-3, .stiffness = 1e5, .damping = 1.0}));
        builder.element("drag " + std::to_string(i), {{i, 1.0}},
                        slider({.limit = 0.02, .grip = 50.0, .viscous = 1e-4}));
    }
    const Driveline line =
        builder.input(0, SineTorque{.amplitude = 5.0, .frequency = 150.0}).done();
    const State start = start_state(line);
    // Each impact makes a difference ten times as large: after thirty of them rounding shows.
    const EventfulOutcome out = run(line, start, 0.05);
    REQUIRE(out.report.complete);
    CHECK(out.events.impacts.size() > 30);
    CHECK(out.energy.residual() < 1e-11);
    for (const std::size_t other : {2U, 3U}) {
        CHECK(std::abs(out.end.angle[other] - out.end.angle[1]) < 1e-12);
        CHECK(std::abs(out.end.speed[other] - out.end.speed[1]) < 1e-9);
    }
}

TEST_CASE(
    "exact solver faults: a run that ends exactly at a mode change, or a rounding beside it") {
    const Ball ball;
    const double touch = 0.5 * ball.flight();
    for (const double scale : {1.0, 1e-3, 1e3}) {
        const Ball at{.inertia = 1e-3, .gap = 2e-3, .stiffness = 2e5, .speed = 0.5 / scale};
        double end = touch * scale;
        for (int ulps = -40; ulps <= 40; ++ulps) {
            CAPTURE(ulps);
            CAPTURE(scale);
            end = touch * scale * (1.0 + ulps * std::numeric_limits<double>::epsilon());
            LineTrace trace;
            const EventfulOutcome out = run(at.line(), at.start(), end, &trace);
            REQUIRE(out.report.complete);
            CHECK(out.report.end_time == end);
            CHECK(out.end.speed[0] == near(at.speed, 1e-12));
            CHECK(trace.time.size() >= 20);
        }
    }
    // The same at the end of a contact, where the stretch is that of a core.
    const double leave = touch + ball.contact();
    for (int ulps = -200; ulps <= 200; ++ulps) {
        CAPTURE(ulps);
        const double end = leave * (1.0 + ulps * std::numeric_limits<double>::epsilon());
        const EventfulOutcome out = run(ball.line(), ball.start(), end);
        REQUIRE(out.report.complete);
        CHECK(out.end.speed[0] == near(-ball.speed, 1e-12));
    }
}

TEST_CASE("exact solver faults: a kink of a torque within a rounding of a mode change") {
    const Ball ball;
    const double touch = 0.5 * ball.flight();
    for (int ulps = -20; ulps <= 20; ++ulps) {
        CAPTURE(ulps);
        Driveline line = ball.line();
        const double start = touch * (1.0 + ulps * std::numeric_limits<double>::epsilon());
        line.inputs.push_back({"step", 0, TorqueRamp{.from = 0.0, .to = 1.0, .start = start}});
        const EventfulOutcome out = run(line, ball.start(), 1.2 * touch);
        REQUIRE(out.report.complete);
        CHECK(out.events.impacts.size() == 1);
        CHECK(out.energy.residual() < 1e-11);
    }
}

TEST_CASE("exact solver faults: start exactly on a guard, falling, rising and at rest") {
    const Ball ball;
    for (const double side : {1.0, -1.0}) {
        for (const double speed : {0.5, 0.0, -0.5}) {
            CAPTURE(side);
            CAPTURE(speed);
            State start = ball.start();
            start.angle[0] = side * 0.5 * ball.gap;
            start.speed[0] = side * speed;
            const double end = 0.5 * ball.contact();
            const EventfulOutcome out = run(ball.line(), start, end);
            REQUIRE(out.report.complete);
            const double w = std::sqrt(ball.stiffness / ball.inertia);
            const double moved = speed > 0.0 ? speed / w : speed * end;
            CHECK(side * out.end.angle[0] == near(0.5 * ball.gap + moved, 1e-12));
            CHECK(out.events.impacts.size() == (speed > 0.0 ? 1 : 0));
        }
    }
}

TEST_CASE("exact solver faults: a swing that just touches a limit of friction or of a gap") {
    for (const double beyond : {-1e-6, -1e-9, -1e-13, 0.0, 1e-13, 1e-9, 1e-6}) {
        CAPTURE(beyond);
        const double k = 1000.0, j = 0.1, w = std::sqrt(k / j), top = 0.01 * (1.0 + beyond);
        const Driveline line =
            LineBuilder()
                .mass("mass", j)
                .element("spring", {{0, 1.0}}, linear_spring(0.5 * k, 0.0))
                .element("friction", {{0, 1.0}}, slider({.limit = 5.0, .grip = 0.5 * k}))
                .element("face", {{0, 1.0}}, lash({.gap = 0.02, .stiffness = 1e6}))
                .done();
        State start = start_state(line);
        start.speed[0] = top * w;
        for (const double h : {1e-3, 3.1e-5}) {
            const TimeOutcome out = solve_exact(
                line, start, {.end = 1.0, .sample_step = 0.1, .largest_step = h}, nullptr);
            REQUIRE(out.report.complete);
            const double energy = 0.5 * j * start.speed[0] * start.speed[0];
            CHECK(std::abs(out.energy.unbalanced()) < 1e-11 * energy);
            const double amplitude = std::hypot(out.end.angle[0], out.end.speed[0] / w);
            CHECK(amplitude == near(0.01, 1e-8 + 20.0 * std::abs(beyond)));
        }
    }
}

TEST_CASE("exact solver faults: a touch at the very end of a stretch") {
    // The swing's top lies on the face and on the boundary of two stretches at once.
    const double k = 1000.0, j = 0.1, w = std::sqrt(k / j);
    const Driveline line =
        LineBuilder()
            .mass("mass", j)
            .element("spring", {{0, 1.0}}, linear_spring(k, 0.0))
            .element("face", {{0, 1.0}}, lash({.gap = 0.02, .stiffness = 1e5, .damping = 1.0}))
            .done();
    State start = start_state(line);
    start.speed[0] = 0.01 * w;
    const double quarter = 0.5 * pi / w;
    for (const int pieces : {1, 2, 3, 7, 16, 64}) {
        CAPTURE(pieces);
        const TimeOutcome out = solve_exact(
            line, start,
            {.end = 4.0 * quarter, .sample_step = quarter, .largest_step = quarter / pieces},
            nullptr);
        REQUIRE(out.report.complete);
        CHECK(out.end.speed[0] == near(start.speed[0], 1e-6));
        CHECK(std::abs(out.energy.unbalanced()) < 1e-12 * 0.5 * k * 1e-4);
    }
}

TEST_CASE("exact solver faults: no gap, hardly any friction, hardly any gap") {
    for (const double gap : {0.0, 1e-15, 1e-12, 1e-9}) {
        for (const double limit : {1e-15, 1e-9, 1e-3}) {
            CAPTURE(gap);
            CAPTURE(limit);
            const double k = 1e4, j = 1e-3, w = std::sqrt(k / j);
            const Driveline line =
                LineBuilder()
                    .mass("gear", j)
                    .element("tooth", {{0, 1.0}}, lash({.gap = gap, .stiffness = k}))
                    .element("drag", {{0, 1.0}}, slider({.limit = limit, .grip = 1e3}))
                    .done();
            State start = start_state(line);
            start.speed[0] = 0.1;
            const double end = 2.0 * pi / w * 10.0;
            const EventfulOutcome out = run(line, start, end);
            REQUIRE(out.report.complete);
            CHECK(std::abs(out.energy.unbalanced()) < 1e-12 * 0.5 * j * 0.01);
            // Ten swings of ±3e-5 rad against the limit take 40·limit·3e-5 joule at most.
            const double energy = 0.5 * j * out.end.speed[0] * out.end.speed[0] +
                                  0.5 * k * out.end.angle[0] * out.end.angle[0];
            CHECK(energy <= 0.5 * j * 0.01 * (1.0 + 1e-4));
            CHECK(energy >= 0.5 * j * 0.01 - 1.3e-3 * limit - 1e-4 * 0.5 * j * 0.01);
        }
    }
}
