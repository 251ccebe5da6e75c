// SPDX-License-Identifier: MIT
#include "libdamper/driveline/resting_friction.hpp"

#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"

#include "tests/support/small_lines.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>

using namespace damper;
using namespace damper::test;

namespace {

/// Two masses on a spring; each drags in a bearing; 1 N m per unit of `push` on the first.
Driveline dragging_pair(double push, double play = 0.0) {
    const Slider first{.limit = 2.0, .grip = 500.0, .play = play};
    const Slider second{.limit = 1.0, .grip = 500.0, .play = play};
    return LineBuilder()
        .mass("first", 0.1)
        .mass("second", 0.2)
        .element("spring", {{0, 1.0}, {1, -1.0}}, linear_spring(100.0, 0.1))
        .element("first drag", {{0, 1.0}}, slider(first))
        .element("second drag", {{1, 1.0}}, slider(second))
        .input(0, ConstantTorque{push})
        .done();
}

double largest_speed(const Driveline& line) {
    const TimeOutcome out =
        solve_general(line, steady_state(line).state, {.end = 0.5, .sample_step = 1e-3}, nullptr);
    REQUIRE(out.report.complete);
    return std::max(std::abs(out.end.speed[0]), std::abs(out.end.speed[1]));
}

}  // namespace

TEST_CASE("what friction can hold stays at rest") {
    for (const double push : {0.5, -0.5, 2.9, -2.9}) {
        for (const double play : {0.0, 1e-3}) {
            CAPTURE(push);
            CAPTURE(play);
            const Driveline line = dragging_pair(push, play);
            const SteadyState start = steady_state(line);
            CHECK(start.acceleration[0] == 0.0);
            CHECK(start.acceleration[1] == 0.0);
            CHECK(start.torque[1] + start.torque[2] == doctest::Approx(push));
            CHECK(largest_speed(line) < 1e-9);
        }
    }
}

TEST_CASE("friction side by side shares a load in proportion to its limits") {
    const SteadyState start = steady_state(dragging_pair(1.5));
    CHECK(start.torque[1] == doctest::Approx(1.0));
    CHECK(start.torque[2] == doctest::Approx(0.5));
    CHECK(start.torque[0] == doctest::Approx(0.5));  // the spring hands on the second one's share
}

TEST_CASE("what friction cannot hold accelerates by the rest of the torque") {
    for (const double sign : {1.0, -1.0}) {
        CAPTURE(sign);
        const SteadyState start = steady_state(dragging_pair(4.5 * sign));
        CHECK(start.acceleration[0] == doctest::Approx(sign * 1.5 / 0.3));
        CHECK(start.acceleration[1] == doctest::Approx(sign * 1.5 / 0.3));
        CHECK(start.torque[1] == doctest::Approx(2.0 * sign));
        CHECK(start.torque[2] == doctest::Approx(1.0 * sign));
    }
}

TEST_CASE("friction that one side overloads passes the rest to the other") {
    // Two bodies that nothing ties: each has its own friction only, and a third between them.
    const Driveline line =
        LineBuilder()
            .mass("pushed", 0.1)
            .mass("free", 0.1)
            .element("own", {{0, 1.0}}, slider({.limit = 1.0, .grip = 100.0}))
            .element("between", {{0, 1.0}, {1, -1.0}}, slider({.limit = 0.5, .grip = 100.0}))
            .element("other", {{1, 1.0}}, slider({.limit = 1.0, .grip = 100.0}))
            .input(0, ConstantTorque{2.0})
            .done();
    const SteadyState start = steady_state(line);
    CHECK(start.torque[0] == doctest::Approx(1.0));
    CHECK(start.torque[1] == doctest::Approx(0.5));
    CHECK(start.torque[2] == doctest::Approx(0.5));
    CHECK(start.acceleration[0] == doctest::Approx(0.5 / 0.1));
    CHECK(start.acceleration[1] == 0.0);
}
