// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/exact_solver.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/solvers/event_collector.hpp"
#include "libdamper/solvers/general/general_solver.hpp"

#include "tests/support/random_lines.hpp"
#include "tests/support/small_lines.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double pi = std::numbers::pi;

/// Engine, hub and two loose gears at idle: a stage with friction, tooth contacts, drag.
Driveline idling(double amplitude) {
    const double k = 3e5, j = 1e-3;
    const Law tooth = lash({.gap = 2.5e-3, .stiffness = k, .damping = 0.2 * std::sqrt(k * j)});
    const Law drag = slider({.limit = 0.08, .grip = 80.0, .viscous = 4e-4});
    return LineBuilder()
        .mass("engine", 0.17, 84.0)
        .mass("hub", 0.006, 84.0)
        .mass("gear a", j, 60.0)
        .mass("gear b", 0.7 * j, 105.0)
        .chain("stage", {{0, 1.0}, {1, -1.0}},
               {{{{"spring", piecewise_spring({{"coast", 900.0}, {"soft", 30.0}, {"firm", 900.0}},
                                              {-0.05, 0.1})},
                  {"washer", slider({.limit = 0.5, .grip = 1500.0})}}}})
        .element("tooth a", {{1, 60.0 / 84.0}, {2, -1.0}}, tooth)
        .element("tooth b", {{1, 105.0 / 84.0}, {3, -1.0}}, tooth)
        .element("drag a", {{2, 1.0}}, drag)
        .element("drag b", {{3, 1.0}}, drag)
        .input(
            0,
            CrankTorque{
                .mean = 0.3,
                .harmonics = {{.order = 0.5, .cosine = 0.1 * amplitude, .sine = 0.0},
                              {.order = 2.0, .cosine = 0.0, .sine = amplitude},
                              {.order = 4.0, .cosine = 0.3 * amplitude, .sine = 0.1 * amplitude}}})
        .done();
}

double worst_difference(const AngleTrace& a, const AngleTrace& b, double until) {
    double worst = 0.0, scale = 0.0;
    for (std::size_t i = 0; i < std::min(a.time.size(), b.time.size()); ++i) {
        if (a.time[i] > until) break;
        worst = std::max(worst, std::abs(a.speed[i] - b.speed[i]));
        scale = std::max(scale, std::abs(b.speed[i]));
    }
    return worst / scale;
}

}  // namespace

TEST_CASE("exact and general solver agree, the closer the tighter the general one works") {
    const Driveline line = idling(40.0);
    const State start = start_state(line);
    const auto general = [&](double tolerance) {
        AngleTrace trace(1);
        const TimeOutcome out = solve_general(
            line, start, {.end = 0.05, .sample_step = 1e-4, .tolerance = tolerance}, &trace);
        REQUIRE(out.report.complete);
        return trace;
    };
    AngleTrace exact(1);
    EventCollector events(line, &exact);
    const TimeOutcome out = solve_exact(line, start, {.end = 0.05, .sample_step = 1e-4}, &events);
    REQUIRE(out.report.complete);
    CHECK(events.take().impacts.size() > 5);
    const double loose = worst_difference(general(1e-7), exact, 0.05);
    const double middle = worst_difference(general(1e-9), exact, 0.05);
    const double tight = worst_difference(general(1e-12), exact, 0.05);
    CAPTURE(loose);
    CAPTURE(middle);
    CAPTURE(tight);
    CHECK(middle < loose);
    CHECK(tight < middle);
    CHECK(tight < 1e-7);
}

TEST_CASE("the length of the steps does not change the exact solution") {
    const Driveline line = idling(40.0);
    const State start = start_state(line);
    AngleTrace reference(1);
    EventCollector free_events(line, &reference);
    const TimeOutcome free =
        solve_exact(line, start, {.end = 0.05, .sample_step = 1e-4}, &free_events);
    const std::vector<Impact> expected = free_events.take().impacts;
    for (const double step : {25e-6, 50e-6, 100e-6}) {
        CAPTURE(step);
        AngleTrace trace(1);
        EventCollector events(line, &trace);
        const TimeOutcome out = solve_exact(
            line, start, {.end = 0.05, .sample_step = 1e-4, .largest_step = step}, &events);
        CHECK(worst_difference(trace, reference, 0.05) < 1e-9);
        CHECK(out.report.mode_changes == free.report.mode_changes);
        const std::vector<Impact> impacts = events.take().impacts;
        REQUIRE(impacts.size() == expected.size());
        for (std::size_t i = 0; i < impacts.size(); ++i) {
            CHECK(impacts[i].time == doctest::Approx(expected[i].time).epsilon(1e-9));
        }
    }
}

TEST_CASE("the energy of an exact run balances to rounding") {
    for (const double amplitude : {5.0, 40.0, 150.0}) {
        CAPTURE(amplitude);
        const Driveline line = idling(amplitude);
        const TimeOutcome out =
            solve_exact(line, start_state(line), {.end = 1.0, .sample_step = 1e-3}, nullptr);
        REQUIRE(out.report.complete);
        CHECK(out.energy.residual() < 1e-11);
    }
}

TEST_CASE("an impact, a bilinear swing and a decay to rest come out in closed form") {
    SUBCASE("restitution of a damped contact, ζ = 0.1") {
        const double k = 2e5, j = 1e-3;
        const Driveline line =
            LineBuilder()
                .mass("gear", j)
                .element("tooth", {{0, 1.0}},
                         lash({.gap = 2e-3, .stiffness = k, .damping = 0.2 * std::sqrt(k * j)}))
                .done();
        State start = start_state(line);
        start.speed[0] = 0.5;
        EventCollector events(line);
        const TimeOutcome out =
            solve_exact(line, start, {.end = 2.8e-3, .sample_step = 1e-4}, &events);
        const std::vector<Impact> impacts = events.take().impacts;
        REQUIRE(impacts.size() == 1);
        // Closed form to the digits that are given; see tests/published/oscillators_test.cpp.
        CHECK(out.end.speed[0] == doctest::Approx(-0.5 * 0.744079).epsilon(2e-6));
        CHECK(impacts[0].time == doctest::Approx(2e-3).epsilon(1e-13));
        const double lost = 0.5 * j * 0.25 * (1.0 - 0.744079 * 0.744079);
        CHECK(impacts[0].energy_lost == doctest::Approx(lost).epsilon(1e-5));
    }
    SUBCASE("bilinear oscillator after a hundred periods") {
        const double w1 = 100.0, w2 = 200.0;
        const double period = pi / w1 + pi / w2;
        const Driveline line =
            LineBuilder()
                .mass("mass", 0.1)
                .element("spring", {{0, 1.0}},
                         piecewise_spring({{"soft", 1000.0}, {"stiff", 4000.0}}, {0.0}))
                .done();
        State start = start_state(line);
        start.speed[0] = 2.0;
        const TimeOutcome out =
            solve_exact(line, start, {.end = 100.0 * period, .sample_step = period}, nullptr);
        CHECK(std::abs(out.end.angle[0]) < 1e-11);
        CHECK(out.end.speed[0] == doctest::Approx(2.0).epsilon(1e-11));
    }
    SUBCASE("time turned round brings a frictionless line back") {
        const Driveline line =
            LineBuilder()
                .mass("a", 0.1)
                .mass("b", 0.02)
                .element("spring", {{0, 1.0}, {1, -1.0}},
                         piecewise_spring({{"soft", 300.0}, {"stiff", 4000.0}}, {0.003}))
                .element("gap", {{1, 1.0}}, lash({.gap = 0.01, .stiffness = 1e4}))
                .done();
        State start = start_state(line);
        start.speed = {1.0, -0.5};
        const TimeOutcome there =
            solve_exact(line, start, {.end = 0.5, .sample_step = 0.1}, nullptr);
        State back = there.end;
        back.time = 0.0;
        for (double& speed : back.speed) speed = -speed;
        const TimeOutcome again =
            solve_exact(line, back, {.end = 0.5, .sample_step = 0.1}, nullptr);
        for (std::size_t i = 0; i < 2; ++i) {
            CHECK(std::abs(again.end.angle[i]) < 1e-9);
            CHECK(again.end.speed[i] == doctest::Approx(-start.speed[i]).epsilon(1e-8));
        }
    }
}

TEST_CASE("awkward lines end with the right answer or a clear word, and soon") {
    const auto ends = [](const Driveline& line, const State& start) {
        return solve_exact(line, start, {.end = 0.2, .sample_step = 1e-2}, nullptr);
    };
    SUBCASE("no gap at all") {
        const Driveline line =
            LineBuilder()
                .mass("gear", 1e-3)
                .element("tooth", {{0, 1.0}}, lash({.gap = 0.0, .stiffness = 3e5, .damping = 2.0}))
                .done();
        State start = start_state(line);
        start.speed[0] = 1.0;
        const TimeOutcome out = ends(line, start);
        CHECK(out.report.complete);
        CHECK(std::abs(out.end.speed[0]) < 1e-3);
    }
    SUBCASE("a very light gear on a very stiff tooth") {
        const Driveline line =
            LineBuilder()
                .mass("gear", 1e-6)
                .element("tooth", {{0, 1.0}}, lash({.gap = 1e-3, .stiffness = 1e6, .damping = 0.1}))
                .element("drag", {{0, 1.0}}, slider({.limit = 0.01, .grip = 10.0}))
                .done();
        State start = start_state(line);
        start.speed[0] = 1.0;
        start.mode[1] = 1;
        const TimeOutcome out = ends(line, start);
        CHECK(out.report.complete);
        CHECK(out.energy.residual() < 1e-9);
    }
    SUBCASE("a slider exactly at its limit") {
        const Driveline line =
            LineBuilder()
                .mass("mass", 0.1)
                .element("friction", {{0, 1.0}}, slider({.limit = 10.0, .grip = 1e4}))
                .input(0, ConstantTorque{10.0})
                .done();
        State start = start_state(line);
        start.angle[0] = 10.0 / 1e4;
        const TimeOutcome out = ends(line, start);
        CHECK(out.report.complete);
        CHECK(std::abs(out.end.speed[0]) < 1e-9);
    }
    SUBCASE("grazing: the swing just touches the face") {
        const Driveline line =
            LineBuilder()
                .mass("mass", 0.1)
                .element("spring", {{0, 1.0}}, linear_spring(1000.0, 0.0))
                .element("face", {{0, 1.0}}, lash({.gap = 0.02, .stiffness = 1e5, .damping = 1.0}))
                .done();
        for (const double beyond : {-1e-9, 0.0, 1e-12, 1e-9}) {
            CAPTURE(beyond);
            State start = start_state(line);
            start.speed[0] = (0.01 + beyond) * 100.0;
            const TimeOutcome out = ends(line, start);
            CHECK(out.report.complete);
            const double energy = 0.5 * 0.1 * start.speed[0] * start.speed[0];
            CHECK(std::abs(out.energy.unbalanced()) < 1e-12 * energy);
        }
    }
    SUBCASE("numbers without end") {
        const Driveline line = LineBuilder()
                                   .mass("mass", 1e-3)
                                   .element("spring", {{0, 1.0}}, linear_spring(1e300, 0.0))
                                   .done();
        State start = start_state(line);
        start.speed[0] = 1.0;
        const TimeOutcome out = ends(line, start);
        CHECK_FALSE(out.report.complete);
        CHECK(out.report.warnings.size() == 1);
    }
}

TEST_CASE("smooth laws: coasting against the air and a slipping tyre come out in closed form") {
    SUBCASE("coast-down: J·ω' = −a − b·ω² has ω = √(a/b)·tan(φ₀ − √(a·b)·t/J)") {
        const double j = 100.0, rolling = 10.0, air = 0.02, start_speed = 50.0;
        Driveline line = LineBuilder().mass("vehicle", j, start_speed).done();
        line.smooth.push_back(
            {"road load", {{0, 1.0}}, 0, RoadLoad{.rolling = rolling, .air = air}});
        const TimeOutcome out =
            solve_exact(line, start_state(line), {.end = 60.0, .sample_step = 1.0}, nullptr);
        REQUIRE(out.report.complete);
        const double ratio = std::sqrt(rolling / air);
        const double phase = std::atan(start_speed / ratio);
        const double speed = ratio * std::tan(phase - std::sqrt(rolling * air) * 60.0 / j);
        CHECK(start_speed + out.end.speed[0] == doctest::Approx(speed).epsilon(1e-12));
        CHECK(out.energy.residual() < 1e-13);
    }
    SUBCASE("a locked vehicle: the slip decays, J·ω' = −m·tanh(p·ω) has sinh(p·ω) = e^(−m·p·t/J)") {
        const double j = 1.2, radius = 0.3, grip = 4000.0, stiffness = 60000.0;
        Driveline line = LineBuilder().mass("wheel", j).mass("vehicle", 1e9).done();
        line.smooth.push_back(
            {"tyre",
             {{0, 1.0}, {1, -1.0}},
             1,
             TyreSlip{.slip_stiffness = stiffness, .grip = grip, .radius = radius}});
        State start = start_state(line);
        start.speed[0] = 0.05;
        const double end = 2e-3;
        const TimeOutcome out =
            solve_exact(line, start, {.end = end, .sample_step = 1e-4}, nullptr);
        REQUIRE(out.report.complete);
        const double p = stiffness * radius / (0.5 * grip);  // at the lowest speed, 0.5 m/s
        const double left = std::sinh(p * 0.05) * std::exp(-radius * grip * p * end / j);
        CHECK(out.end.speed[0] == doctest::Approx(std::asinh(left) / p).epsilon(1e-6));
    }
}

TEST_CASE("a recorded torque: the momentum is its integral, both solvers move alike") {
    RecordedTorque recorded{.start = 0.004, .step = 1e-3, .values = {}};
    double sum = 0.0;  // the trapezoidal rule with end corrections is exact for such a curve
    for (int i = 0; i <= 40; ++i) {
        const double x = 0.3 * i;
        recorded.values.push_back(5.0 * std::sin(x) + 0.2 * x);
        sum += recorded.values.back() * (i == 0 || i == 40 ? 0.5 : 1.0);
    }
    const std::vector<double>& v = recorded.values;
    const double first = -1.5 * v[0] + 2.0 * v[1] - 0.5 * v[2];
    const double last = 1.5 * v[40] - 2.0 * v[39] + 0.5 * v[38];
    const double impulse =
        1e-3 * (sum + (first - last) / 12.0) + 0.004 * v[0] + (0.06 - 0.044) * v[40];
    const Driveline free = LineBuilder().mass("mass", 0.01).input(0, recorded).done();
    const TimeOutcome out =
        solve_exact(free, start_state(free), {.end = 0.06, .sample_step = 1.0}, nullptr);
    CHECK(0.01 * out.end.speed[0] == doctest::Approx(impulse).epsilon(1e-12));

    const Driveline line =
        LineBuilder()
            .mass("mass", 0.01)
            .element("spring", {{0, 1.0}}, linear_spring(400.0, 0.1))
            .element("friction", {{0, 1.0}}, slider({.limit = 1.0, .grip = 900.0}))
            .input(0, recorded)
            .done();
    AngleTrace exact, general;
    (void)solve_exact(line, start_state(line), {.end = 0.06, .sample_step = 1e-3}, &exact);
    (void)solve_general(line, start_state(line),
                        {.end = 0.06, .sample_step = 1e-3, .tolerance = 1e-12}, &general);
    CHECK(worst_difference(exact, general, 0.06) < 1e-9);
}

TEST_CASE("exact and general solver agree on random lines with every kind of element") {
    for (unsigned seed = 1; seed <= 12; ++seed) {
        CAPTURE(seed);
        const RandomLine random = random_line(seed);
        const double end = 0.03;
        AngleTrace exact(0), general(0);
        const TimeOutcome a =
            solve_exact(random.line, random.start, {.end = end, .sample_step = 1e-3}, &exact);
        const TimeOutcome b =
            solve_general(random.line, random.start,
                          {.end = end, .sample_step = 1e-3, .tolerance = 1e-12}, &general);
        REQUIRE(a.report.complete);
        REQUIRE(b.report.complete);
        CHECK(worst_difference(exact, general, end) < 1e-7);
        CHECK(a.energy.residual() < 1e-11);
    }
}
