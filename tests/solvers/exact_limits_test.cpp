// SPDX-License-Identifier: MIT
// Numbers at the edge of what the exact solver is asked for: not finite, enormous, very long, very
// short, nothing at all.
#include "libdamper/base/error.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"

#include "tests/support/line_trace.hpp"
#include "tests/support/near.hpp"
#include "tests/support/small_lines.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <limits>
#include <string>

using namespace damper;
using namespace damper::test;

namespace {

/// A run with a number in it that is none must end, and say so.
void must_end_with_a_word(const Driveline& line, const State& start) {
    try {
        const TimeOutcome out =
            solve_exact(line, start, {.end = 0.2, .sample_step = 1e-2}, nullptr);
        CHECK_FALSE(out.report.complete);
        CHECK(out.report.warnings.size() == 1);
    } catch (const ModelError& error) {
        CHECK(std::string(error.what()).size() > 10);
    }
}

Driveline chain_of(int count) {
    LineBuilder line;
    for (int i = 0; i < count; ++i) line.mass("inertia " + std::to_string(i), 0.1);
    for (int i = 1; i < count; ++i) {
        line.element("spring " + std::to_string(i), {{i - 1, 1.0}, {i, -1.0}},
                     linear_spring(1000.0, 0.1));
    }
    line.element("face", {{0, 1.0}}, lash({.gap = 1.0, .stiffness = 1e4}));
    return line.done();
}

}  // namespace

TEST_CASE("exact solver limits: numbers that are none, in the start or in a torque") {
    const double none = std::numeric_limits<double>::quiet_NaN();
    const double endless = std::numeric_limits<double>::infinity();
    for (const double bad : {none, endless, -endless}) {
        for (const int count : {1, 3, 7, 12}) {
            for (const int at : {0, count / 2, count - 1}) {
                CAPTURE(bad);
                CAPTURE(count);
                CAPTURE(at);
                const Driveline line = chain_of(count);
                const auto i = static_cast<std::size_t>(at);
                State start = start_state(line);
                start.speed[i] = bad;
                must_end_with_a_word(line, start);
                start = start_state(line);
                start.angle[i] = bad;
                must_end_with_a_word(line, start);
                for (const TorqueSource& source :
                     {TorqueSource(ConstantTorque{bad}), TorqueSource(TorqueRamp{.to = bad}),
                      TorqueSource(SineTorque{.amplitude = bad, .frequency = 10.0}),
                      TorqueSource(CrankTorque{.mean = 0.0, .harmonics = {{1.0, bad, 0.0}}}),
                      TorqueSource(CrankTorque{.mean = bad, .harmonics = {}})}) {
                    Driveline driven = line;
                    driven.inputs.push_back({"torque", at, source});
                    must_end_with_a_word(driven, start_state(driven));
                }
            }
        }
    }
    // A free inertia: nothing expands its motion.
    const Driveline line = LineBuilder()
                               .mass("gear", 1e-3)
                               .element("drag", {{0, 1.0}}, slider({.limit = 0.1, .grip = 10.0}))
                               .done();
    for (const double bad : {none, endless}) {
        State start = start_state(line);
        start.mode[0] = 1;
        start.speed[0] = bad;
        must_end_with_a_word(line, start);
    }
    State start = start_state(line);
    start.memory[0] = none;
    must_end_with_a_word(line, start);
}

TEST_CASE("exact solver limits: enormous torques") {
    for (const double torque : {1e6, 1e12, 1e30, 1e150, 1e300}) {
        CAPTURE(torque);
        Driveline line = chain_of(4);
        line.inputs.push_back({"torque", 1, ConstantTorque{torque}});
        const TimeOutcome out =
            solve_exact(line, start_state(line), {.end = 0.05, .sample_step = 1e-3}, nullptr);
        if (out.report.complete) {
            CHECK(out.energy.residual() < 1e-10);
        } else {
            CHECK(out.report.warnings.size() == 1);
        }
    }
    for (const double torque : {1e3, 1e4, 1e5}) {
        CAPTURE(torque);
        Driveline line = chain_of(2);
        line.inputs.push_back(
            {"torque", 1,
             CrankTorque{.mean = 0.0, .harmonics = {{2.0, torque, 0.0}, {7.5, 0.0, torque}}}});
        const TimeOutcome out =
            solve_exact(line, start_state(line), {.end = 0.01, .sample_step = 1e-3}, nullptr);
        CHECK(out.report.complete);
        CHECK(out.energy.residual() < 1e-8);
    }
}

TEST_CASE("exact solver limits: a quiet gear for a thousand seconds") {
    // J·ω' = −c·ω − T: ω → −T/c; booked heat is what was lost.
    const double j = 1e-3, c = 4e-4, limit = 0.02, reference = 60.0;
    const Driveline line =
        LineBuilder()
            .mass("gear", j, reference)
            .element("drag", {{0, 1.0}}, slider({.limit = limit, .grip = 80.0, .viscous = c}))
            .input(0, ConstantTorque{limit + c * 50.0})
            .done();
    Driveline quiet = line;
    quiet.inputs.clear();
    State start = start_state(line);
    start.mode[0] = 1;
    for (const double step : {1e-3, 1.0}) {
        LineTrace trace;
        const TimeOutcome out = solve_exact(
            line, start, {.end = 1000.0, .sample_step = 1.0, .largest_step = step}, &trace);
        REQUIRE(out.report.complete);
        CHECK(reference + out.end.speed[0] == near(50.0, 1e-11));
        CHECK(trace.time.size() == 1001);
        CHECK(out.energy.residual() < 1e-9);
    }
    // Without any torque it runs down and rests; with drag that is only viscous it never does.
    const TimeOutcome down = solve_exact(
        quiet, start, {.end = 1000.0, .sample_step = 1.0, .largest_step = 1.0}, nullptr);
    REQUIRE(down.report.complete);
    CHECK(std::abs(reference + down.end.speed[0]) < 1e-6);
    CHECK(down.energy.residual() < 1e-9);
}

TEST_CASE("exact solver limits: free gears only, however long, and nothing in the core") {
    for (const double c : {0.0, 1e-6, 1e-3, 1.0}) {
        for (const double end : {1e-6, 1e-2, 1.0, 1000.0}) {
            CAPTURE(c);
            CAPTURE(end);
            const double j = 1e-3;
            LineBuilder builder;
            builder.mass("gear", j).mass("other", j);
            builder.element("tooth", {{0, 1.0}, {1, -1.0}}, lash({.gap = 1e9, .stiffness = 1e5}));
            if (c > 0.0) builder.element("drag", {{0, 1.0}}, linear_spring(0.0, c));
            const Driveline line = builder.done();
            State start = start_state(line);
            start.speed = {2.0, 1.0};
            const TimeOutcome out = solve_exact(
                line, start, {.end = end, .sample_step = end, .largest_step = 0.1}, nullptr);
            REQUIRE(out.report.complete);
            const double left = std::exp(-c * end / j);
            CHECK(std::abs(out.end.speed[0] - 2.0 * left) < 1e-12);
            CHECK(out.end.speed[1] == 1.0);
            CHECK(out.end.angle[1] == near(end, 1e-12));
            CHECK(std::abs(out.energy.unbalanced()) < 1e-12 * 0.5 * j * 4.0);
        }
    }
}

TEST_CASE("exact solver limits: the end before the first sample, and the shortest of runs") {
    const Driveline line = chain_of(3);
    State start = start_state(line);
    start.speed[0] = 1.0;
    for (const double end : {1e-3, 1e-9, 1e-14, 1e-16, 1e-100}) {
        CAPTURE(end);
        LineTrace trace;
        const TimeOutcome out = solve_exact(line, start, {.end = end, .sample_step = 1.0}, &trace);
        CHECK(out.report.complete);
        CHECK(trace.time.size() == 1);
        CHECK(out.end.angle[0] == near(end, 1e-2));
    }
    CHECK_THROWS_AS((void)solve_exact(line, start, {.end = 0.0}, nullptr), ModelError);
    CHECK_THROWS_AS((void)solve_exact(line, start, {.end = -1.0}, nullptr), ModelError);
}

TEST_CASE("exact solver limits: angles far from zero change nothing but digits") {
    // A friction element whose whole twist has grown over a long run.
    const auto drag_to_rest = [](double turned) {
        const Driveline line = LineBuilder()
                                   .mass("gear", 1e-3)
                                   .element("drag", {{0, 1.0}},
                                            slider({.limit = 0.08, .grip = 1000.0, .viscous = 0.2}))
                                   .done();
        State start = start_state(line);
        start.angle[0] = start.memory[0] = turned;
        start.speed[0] = 1.0;
        const TimeOutcome out = solve_exact(line, start, {.end = 0.1, .sample_step = 0.1}, nullptr);
        REQUIRE(out.report.complete);
        return out;
    };
    const TimeOutcome near_zero = drag_to_rest(0.0);
    for (const double turned : {1.0, 30.0, 1e3, 1e4, 1e5}) {
        CAPTURE(turned);
        const TimeOutcome out = drag_to_rest(turned);
        CHECK(out.report.mode_changes == near_zero.report.mode_changes);
        CHECK(std::abs(out.end.angle[0] - turned - near_zero.end.angle[0]) <
              1e-11 + 1e-14 * turned);
    }
}
