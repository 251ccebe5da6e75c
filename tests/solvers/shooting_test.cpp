// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/shooting.hpp"

#include "libdamper/assemble/assemble.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/exact/variation.hpp"

#include "tests/support/shipped.hpp"
#include "tests/support/small_lines.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <doctest/doctest.h>
#include <numbers>
#include <string>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double engine_speed = 80.0;  // rad/s

/// A flywheel and an inertia on a damped spring behind it; drag on both in proportion to their
/// inertias, and a torque that keeps the flywheel turning against all of it.
struct Pair {
    double flywheel = 0.0, inertia = 0.0;  // kg m²
    double spring = 0.0, damping = 0.0;    // N m/rad, N m s/rad
    double drag = 0.0;                     // 1/s
};

LineBuilder line_of(const Pair& p) {
    LineBuilder line;
    line.mass("flywheel", p.flywheel, engine_speed).mass("inertia", p.inertia, engine_speed);
    line.element("spring", {{0, 1.0}, {1, -1.0}}, linear_spring(p.spring, p.damping))
        .element("drag on the flywheel", {{0, 1.0}}, linear_spring(0.0, p.drag * p.flywheel))
        .element("drag on the inertia", {{1, 1.0}}, linear_spring(0.0, p.drag * p.inertia))
        .input(0, ConstantTorque{p.drag * (p.flywheel + p.inertia) * engine_speed});
    return line;
}

Orbit turn_of(const Driveline& line, double angle, const State& guess) {
    return find_orbit(line, guess,
                      {.lead = 0, .angle = angle, .longest_period = 3.0 * angle / engine_speed});
}

Assembled shipped(const std::string& name) {
    return assemble(shipped_scenario(name));
}

/// Where a run from the steady state gets to after `time`, at a fixed angle of the engine.
State settled(const Assembled& a, double time) {
    const auto engine = static_cast<std::size_t>(a.engine);
    const double speed = a.line.masses[engine].reference_speed;
    const double cycles = std::round(time * speed / (4.0 * pi));
    const TimeOutcome out =
        solve_exact_to(a.line, steady_state(a.line).state, {.end = 2.0 * time, .sample_step = 1.0},
                       nullptr, {.inertia = engine, .angle = 4.0 * pi * cycles + 0.3}, nullptr);
    REQUIRE(out.report.complete);
    return out.end;
}

}  // namespace

TEST_CASE("a linear line: the multipliers are exp(λ·T)") {
    const Pair p{.flywheel = 0.2, .inertia = 0.01, .spring = 40.0, .damping = 0.05, .drag = 3.0};
    const Driveline line = line_of(p).done();
    State start = start_state(line);
    start.speed = {-1.0, 0.5};
    const Orbit orbit = turn_of(line, pi, start);
    REQUIRE(orbit.found);
    CHECK(orbit.stable);
    CHECK(orbit.period == doctest::Approx(pi / engine_speed).epsilon(1e-10));
    // Closed form, any textbook: the pair turns against the drag, λ = −d, and swings against
    // itself, λ² + (d + c/J)·λ + k/J = 0 with J the reduced inertia.
    const double reduced = p.flywheel * p.inertia / (p.flywheel + p.inertia);
    const double half = 0.5 * (p.drag + p.damping / reduced);
    const std::complex<double> swing(-half, std::sqrt(p.spring / reduced - half * half));
    for (const std::complex<double> lambda : {std::complex<double>(-p.drag), swing}) {
        const std::complex<double> expected = std::exp(lambda * orbit.period);
        double nearest = 1.0;
        for (const std::complex<double>& m : orbit.multipliers) {
            nearest = std::min(nearest, std::abs(m - expected));
        }
        CHECK(nearest < 1e-9);
    }
}

TEST_CASE("a swinging stiffness: period doubling sets in where Mathieu's equation says") {
    // x'' + 2·ζ·ω·x' + ω²·(1 + ε·sin 2ωt)·x: unstable at its principal resonance for ε > 4·ζ to
    // first order (any textbook of parametric vibration; recalled). Here a torque by the inertia's
    // own angle, a·cos(n·θ), makes ε = a·n/(J·ω²).
    const double j = 0.01, order = 2.0, zeta = 0.005;
    const double w = 0.5 * order * engine_speed;
    for (const double of_threshold : {0.8, 1.25}) {
        CAPTURE(of_threshold);
        const double epsilon = 4.0 * zeta * of_threshold;
        const double amplitude = epsilon * j * w * w / order;
        const Driveline line =
            line_of({.flywheel = 1e4,
                     .inertia = j,
                     .spring = j * w * w,
                     .damping = 2.0 * zeta * j * w,
                     .drag = 0.0})
                .element("brake", {{0, 1.0}}, linear_spring(0.0, 5e4))
                .input(0, ConstantTorque{5e4 * engine_speed})
                .input(1, CrankTorque{.harmonics = {{.order = order, .cosine = amplitude}}})
                .done();
        const Orbit orbit = turn_of(line, pi, start_state(line));
        REQUIRE(orbit.found);
        CHECK(orbit.stable == (of_threshold < 1.0));
        CHECK(orbit.edge == "period doubling");
        // To first order the multipliers are −exp(−(ζ·ω ∓ ε·ω/4)·T).
        const double growth = (0.25 * epsilon - zeta) * w * orbit.period;
        CHECK(orbit.multipliers.front().real() == doctest::Approx(-std::exp(growth)).epsilon(2e-3));
    }
}

TEST_CASE("the derivative past mode changes is that of finite differences") {
    const Law tooth = lash({.gap = 2.5e-3, .stiffness = 2e5, .damping = 2.0});
    const Driveline line =
        LineBuilder()
            .mass("engine", 0.17, engine_speed)
            .mass("hub", 0.006, engine_speed)
            .mass("gear", 1e-3, 0.7 * engine_speed)
            .chain("stage", {{0, 1.0}, {1, -1.0}},
                   {{{{"spring", piecewise_spring({{"soft", 30.0}, {"firm", 900.0}}, {0.05})},
                      {"washer", slider({.limit = 0.5, .grip = 1500.0, .play = 0.002})}}},
                    {{{"seat", piecewise_spring({{"a", 4000.0}, {"b", 9000.0}}, {0.001})}}}})
            .element("tooth", {{1, 0.7}, {2, -1.0}}, tooth)
            .element("drag", {{2, 1.0}}, slider({.limit = 0.1, .grip = 80.0, .viscous = 4e-4}))
            .input(0, CrankTorque{.mean = 0.1,
                                  .harmonics = {{.order = 2.0, .sine = 50.0},
                                                {.order = 4.0, .cosine = 12.0}}})
            .done();
    State start = start_state(line);
    const TimeSettings settings{.end = 0.06, .sample_step = 1.0};
    const AngleStop stop{.inertia = 0, .angle = 3.0};
    const auto n = static_cast<Eigen::Index>(line.masses.size());
    const auto rows = 2 * n + static_cast<Eigen::Index>(line.part_count());
    Variation variation(line, Eigen::MatrixXd::Identity(rows, 2 * n));
    const TimeOutcome run = solve_exact_to(line, start, settings, nullptr, stop, &variation);
    REQUIRE(run.report.complete);
    CHECK(run.report.mode_changes > 10);
    CHECK_FALSE(variation.grazed());
    const double end = run.end.time;
    for (Eigen::Index c = 0; c < 2 * n; ++c) {
        CAPTURE(c);
        const double step = c < n ? 1e-9 : 1e-7;
        const auto at = [&](double by) {
            State moved = start;
            (c < n ? moved.angle[static_cast<std::size_t>(c)]
                   : moved.speed[static_cast<std::size_t>(c - n)]) += by;
            const TimeOutcome out =
                solve_exact(line, moved, {.end = end, .sample_step = 1.0}, nullptr);
            CHECK(out.report.mode_changes == run.report.mode_changes);
            return out.end;
        };
        const State up = at(step), down = at(-step);
        for (Eigen::Index r = 0; r < n; ++r) {
            const auto i = static_cast<std::size_t>(r);
            const double size = variation.now().col(c).cwiseAbs().maxCoeff();
            CHECK(std::abs((up.speed[i] - down.speed[i]) / (2.0 * step) -
                           variation.now()(n + r, c)) < 2e-5 * size);
            CHECK(std::abs((up.angle[i] - down.angle[i]) / (2.0 * step) - variation.now()(r, c)) <
                  2e-5 * size);
        }
    }
}

TEST_CASE("a stable orbit is where a long run goes, and comes back to itself") {
    for (const char* name : {"car_idle_cold", "heavy_truck_idle_cold", "car_idle_weak_cylinder"}) {
        CAPTURE(name);
        const Assembled a = shipped(name);
        const auto engine = static_cast<std::size_t>(a.engine);
        const double speed = a.line.masses[engine].reference_speed;
        const double angle = 4.0 * pi;
        const OrbitSettings settings{
            .lead = engine, .angle = angle, .longest_period = 2.0 * angle / speed};
        const Orbit orbit = find_orbit(a.line, settled(a, 1.0), settings);
        REQUIRE_MESSAGE(orbit.found, orbit.why_not);
        CHECK(orbit.stable);
        CHECK(orbit.residual < 1e-10);
        // Ten periods on, from a start that is off by a little: back to the orbit as fast as the
        // largest multiplier but one lets it (the largest is that of the mean speed, which nothing
        // but drag holds).
        TimeOutcome out = solve_exact_to(
            a.line, orbit.start,
            {.end = orbit.start.time + 20.0 * orbit.period, .sample_step = 1.0}, nullptr,
            {.inertia = engine,
             .angle = speed * orbit.start.time + orbit.start.angle[engine] + 10.0 * angle},
            nullptr);
        REQUIRE(out.report.complete);
        CHECK(out.report.mode_changes == 10 * orbit.mode_changes);
        for (std::size_t i = 0; i < out.end.speed.size(); ++i) {
            CHECK(std::abs(out.end.speed[i] - orbit.start.speed[i]) < 1e-7);
        }
    }
}

TEST_CASE("where nothing repeats, the search says so") {
    const Assembled a = shipped("car_idle_no_idle_stage");
    const auto engine = static_cast<std::size_t>(a.engine);
    const double speed = a.line.masses[engine].reference_speed;
    const Orbit orbit =
        find_orbit(a.line, settled(a, 0.5),
                   {.lead = engine, .angle = 4.0 * pi, .longest_period = 8.0 * pi / speed});
    if (!orbit.found) {
        CHECK(orbit.why_not.find("does not repeat") != std::string::npos);
    } else {
        CHECK_FALSE(orbit.stable);
    }
}

TEST_CASE("an orbit search refuses what it cannot follow") {
    const Pair p{.flywheel = 0.2, .inertia = 0.01, .spring = 40.0, .damping = 0.05, .drag = 3.0};
    Driveline line = line_of(p).done();
    CHECK_THROWS_AS((void)turn_of(line, 0.0, start_state(line)), ModelError);
    const Driveline by_time = line_of(p).input(1, SineTorque{.amplitude = 1.0}).done();
    CHECK_THROWS_AS((void)turn_of(by_time, pi, start_state(by_time)), ModelError);
    line.smooth.push_back({"road load", {{1, 1.0}}, 1, RoadLoad{.rolling = 1.0}});
    CHECK_THROWS_AS((void)turn_of(line, pi, start_state(line)), ModelError);
}
