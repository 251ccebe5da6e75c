// SPDX-License-Identifier: MIT
// Forced and transient response of small drivelines against closed forms, by long time runs.
#include "libdamper/driveline/driveline.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"

#include "tests/support/first_harmonic.hpp"
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

/// Angles of two inertias and acceleration of the second.
class PairTrace final : public Sink {
  public:
    void sample(const Instant& instant) override {
        time.push_back(instant.time);
        first.push_back(instant.angle[0]);
        second.push_back(instant.angle[1]);
        first_acceleration.push_back(instant.acceleration[0]);
        second_acceleration.push_back(instant.acceleration[1]);
        twist.push_back(instant.angle[0] - instant.angle[1]);
    }
    std::vector<double> time, first, second, first_acceleration, second_acceleration, twist;
};

double degrees(double radians) {
    return radians * 180.0 / pi;
}

/// Hub on a spring with dry friction behind a flywheel that swings with `alpha` [rad/s²].
struct IdleStage {
    double hub = 0.006, stiffness = 30.0, limit = 0.5,
           grip = 3e7;                   // its give shows in the amplitude as its square root
    double w = 2.0 * pi * 850.0 / 30.0;  // order 2 at 850 rpm

    [[nodiscard]] TimeOutcome run(double alpha, double seconds, PairTrace* trace) const {
        const double flywheel = 1e6;  // so heavy that the hub does not move it
        Cell cell;
        cell.parts = {{"spring", linear_spring(stiffness, 0.0)},
                      {"washer", slider({.limit = limit, .grip = grip})}};
        const Driveline line =
            LineBuilder()
                .mass("flywheel", flywheel)
                .mass("hub", hub)
                .chain("idle stage", {{0, 1.0}, {1, -1.0}}, {cell})
                .input(0, SineTorque{.amplitude = flywheel * alpha, .frequency = w})
                .done();
        State start = start_state(line);
        // The speeds of the stuck steady motion, so that the grip itself does not ring.
        const double stuck = alpha * w / ((stiffness + grip) / hub - w * w);
        start.speed = {-alpha / w, -alpha / w - stuck};
        return solve_general(line, start,
                             {.end = seconds,
                              .sample_step = 2.0 * pi / w / 200.0,
                              .tolerance = 1e-9,
                              .largest_step = 1e-3},
                             trace);
    }
};

}  // namespace

TEST_CASE("an isolator on a shaken base passes on what the textbook formula says") {
    // |T| = √((1 + (2ζr)²)/((1 − r²)² + (2ζr)²)): 1 at r = √2 for every ζ; 0.355862 at r = 2,
    // ζ = 0.1; 0.130412 at r = 3, ζ = 0.05 (closed form of any textbook of vibration; derived).
    struct Row {
        double r, zeta, passed;
    };
    const double root = std::numbers::sqrt2;
    for (const Row& row : {Row{root, 0.1, 1.0}, Row{root, 0.4, 1.0}, Row{2.0, 0.1, 0.355862},
                           Row{3.0, 0.05, 0.130412}}) {
        CAPTURE(row.r);
        CAPTURE(row.zeta);
        const double base = 1e9;
        const Driveline line =
            LineBuilder()
                .mass("base", base)
                .mass("mass", 1.0)
                .element("mount", {{0, 1.0}, {1, -1.0}}, linear_spring(1.0, 2.0 * row.zeta))
                .input(0, SineTorque{.amplitude = base, .frequency = row.r})
                .done();
        State start = start_state(line);
        start.speed = {-1.0 / row.r, -1.0 / row.r};
        PairTrace trace;
        const double period = 2.0 * pi / row.r;
        const double cycles = std::ceil(16.0 / row.zeta / period);
        const TimeOutcome out = solve_general(line, start,
                                              {.end = cycles * period,
                                               .sample_step = period / 64.0,
                                               .tolerance = 1e-10,
                                               .largest_step = 0.05},
                                              &trace);
        REQUIRE(out.report.complete);
        const double passed =
            std::abs(harmonic_at_end(trace.time, trace.second_acceleration, row.r, 4)) /
            std::abs(harmonic_at_end(trace.time, trace.first_acceleration, row.r, 4));
        CHECK(passed == near(row.passed, 2e-6));
    }
}

TEST_CASE("two inertias answer a sine torque as their frequency response says") {
    // Je = 0.17, J2 = 0.006 kg m2, k = 30 N m/rad, c = 0.05 N m s/rad, 50 N m on Je at 28.3333 Hz:
    // 296.036 and 57.7535 rad/s2; phases of the angles −179.866 and 19.841 deg (derived).
    const double w = 2.0 * pi * 85.0 / 3.0;
    const Driveline line = LineBuilder()
                               .mass("engine", 0.17)
                               .mass("hub", 0.006)
                               .element("stage", {{0, 1.0}, {1, -1.0}}, linear_spring(30.0, 0.05))
                               .input(0, SineTorque{.amplitude = 50.0, .frequency = w})
                               .done();
    PairTrace trace;
    const double period = 2.0 * pi / w;
    const TimeOutcome out = solve_general(
        line, start_state(line),
        {.end = 120.0 * period, .sample_step = period / 64.0, .tolerance = 1e-10}, &trace);
    REQUIRE(out.report.complete);
    const auto engine = harmonic_at_end(trace.time, trace.first_acceleration, w, 4);
    const auto hub = harmonic_at_end(trace.time, trace.second_acceleration, w, 4);
    CHECK(std::abs(engine) == near(296.036, 1e-5));
    CHECK(std::abs(hub) == near(57.7535, 1e-5));
    // The acceleration is the angle turned by half a turn.
    CHECK(degrees(std::arg(-engine)) == near(-179.866, 1e-5));
    CHECK(degrees(std::arg(-hub)) == near(19.841, 1e-4));
}

TEST_CASE("an idle stage with dry friction isolates as Den Hartog's form says") {
    // x0 = (J2·α/k)·√(V² − (T_f/(J2·α))²·U²), V and U as for a forced mass (J. P. Den Hartog,
    // Trans. ASME 53 (1931), APM-53-9, 107-115, recalled). J2 = 0.006 kg m2, k = 30 N m/rad,
    // T_f = 0.5 N m, 28.3333 Hz, 400 rad/s2: 0.0142077 rad, hub (k·x0 + T_f)/J2 = 154.37 rad/s2.
    const IdleStage stage;
    PairTrace trace;
    const TimeOutcome out = stage.run(400.0, 6.0, &trace);
    REQUIRE(out.report.complete);
    double low = 0.0, high = 0.0, hub = 0.0;
    for (std::size_t i = trace.time.size() - 800; i < trace.time.size(); ++i) {
        low = std::min(low, trace.twist[i]);
        high = std::max(high, trace.twist[i]);
        hub = std::max(hub, std::abs(trace.second_acceleration[i]));
    }
    CHECK(0.5 * (high - low) == near(0.0142077, 1e-3));
    CHECK(hub == near(154.37, 1e-3));
}

TEST_CASE("the washer of an idle stage locks below T_f/J2 and then passes everything on") {
    // T_f/J2 = 83.333 rad/s2 (derived; the spring beside it carries next to nothing when stuck).
    const IdleStage stage;
    PairTrace stuck;
    const TimeOutcome below = stage.run(83.0, 0.4, &stuck);
    REQUIRE(below.report.complete);
    CHECK(below.report.mode_changes == 0);
    CHECK(std::abs(harmonic_at_end(stuck.time, stuck.second_acceleration, stage.w, 4)) ==
          near(83.0, 1e-3));
    const TimeOutcome above = stage.run(83.7, 0.4, nullptr);
    REQUIRE(above.report.complete);
    CHECK(above.report.mode_changes > 4);
}

TEST_CASE("a torque step overshoots the shafts as the two-mass closed form says") {
    // Car of the two-mass driveline above in first gear, 50 N m: mean shaft torque 540.019 N m,
    // first peak of the spring's torque 941.567 N m at 0.21845 s, mean acceleration
    // 1.197051 m/s2 (closed form; derived).
    const double ratio = 3.5 * 3.7;
    const double engine = 0.17 + 0.014 / (3.5 * 3.5) + 0.031 / (ratio * ratio);
    const double wheels = 1.0 + 1400.0 * 0.32 * 0.32;
    const Driveline line =
        LineBuilder()
            .mass("engine", engine)
            .mass("vehicle", wheels)
            .element("shafts", {{0, 1.0 / ratio}, {1, -1.0}}, linear_spring(5000.0, 65.0))
            .input(0, TorqueRamp{.from = 0.0, .to = 50.0, .start = 0.1})
            .done();
    PairTrace trace;
    const TimeOutcome out = solve_general(
        line, start_state(line), {.end = 6.0, .sample_step = 1e-4, .tolerance = 1e-10}, &trace);
    REQUIRE(out.report.complete);
    double peak = 0.0, when = 0.0;
    for (std::size_t i = 0; i < trace.time.size(); ++i) {
        const double spring = 5000.0 * (trace.first[i] / ratio - trace.second[i]);
        if (spring > peak) {
            peak = spring;
            when = trace.time[i] - 0.1;
        }
    }
    CHECK(peak == near(941.567, 1e-6));
    CHECK(when == near(0.21845, 1e-3));
    const double at_end = 5000.0 * (trace.first.back() / ratio - trace.second.back());
    CHECK(at_end == near(540.019, 1e-3));
    CHECK(trace.second_acceleration.back() * 0.32 == near(1.197051, 1e-3));
}

TEST_CASE("a torque ramp as long as the period of a mode leaves no oscillation behind") {
    // Residual oscillation after a ramp of duration τ on an undamped mode of period T, over that of
    // a step: |sin(πτ/T)/(πτ/T)|: 0.636620, 0, 0.212207 at τ/T = 0.5, 1, 1.5 (derived).
    const double period = 2.0 * pi / 10.0;
    struct Row {
        double length, share;
    };
    for (const Row& row : {Row{0.0, 1.0}, Row{0.5, 0.636620}, Row{1.0, 0.0}, Row{1.5, 0.212207}}) {
        CAPTURE(row.length);
        const Driveline line =
            LineBuilder()
                .mass("mass", 1.0)
                .element("spring", {{0, 1.0}}, linear_spring(100.0, 0.0))
                .input(
                    0,
                    TorqueRamp{.from = 0.0, .to = 100.0, .start = 0.1, .rise = row.length * period})
                .done();
        AngleTrace trace;
        const TimeOutcome out = solve_general(
            line, start_state(line), {.end = 3.0, .sample_step = 1e-3, .tolerance = 1e-10}, &trace);
        REQUIRE(out.report.complete);
        double high = 0.0;
        for (std::size_t i = 2000; i < trace.angle.size(); ++i) {
            // Amplitude about the new rest at 1 rad; a step would leave 1 rad.
            high = std::max(high, std::hypot(trace.angle[i] - 1.0, trace.speed[i] / 10.0));
        }
        CHECK(std::abs(high - row.share) < 2e-6);
    }
}

TEST_CASE("100 N m at order 2 shake an idling engine by 26.8 rpm") {
    // J = 0.2 kg m2, 100 N m, order 2, 850 rpm: 500 rad/s2, 2.80862 rad/s, 0.903936 deg (derived).
    // A torque over the actual crank angle is modulated by the ripple itself: relative effect
    // (2·0.0158)²/8 = 1.2e-4.
    const double speed = 850.0 * pi / 30.0;
    const double w = 2.0 * speed;
    for (const bool over_angle : {false, true}) {
        CAPTURE(over_angle);
        const double tolerance = over_angle ? 3e-4 : 1e-6;
        const CrankTorque crank{.mean = 0.0, .harmonics = {{.order = 2.0, .cosine = 100.0}}};
        const SineTorque sine{.amplitude = 100.0, .frequency = w, .phase = 0.5 * pi};
        const Driveline line = LineBuilder()
                                   .mass("engine", 0.2, speed)
                                   .input(0, over_angle ? TorqueSource(crank) : TorqueSource(sine))
                                   .done();
        State start = start_state(line);
        start.angle[0] = -500.0 / (w * w);
        AngleTrace trace;
        const double period = 2.0 * pi / w;
        const TimeOutcome out = solve_general(
            line, start, {.end = 8.0 * period, .sample_step = period / 64.0, .tolerance = 1e-11},
            &trace);
        REQUIRE(out.report.complete);
        CHECK(std::abs(harmonic_at_end(trace.time, trace.acceleration, w, 4)) ==
              near(500.0, tolerance));
        // Over the angle a slow drift of the speed is left, which would leak into its harmonic.
        if (over_angle) continue;
        CHECK(std::abs(harmonic_at_end(trace.time, trace.speed, w, 4)) ==
              near(2.80862, tolerance + 2e-6));
        CHECK(degrees(std::abs(harmonic_at_end(trace.time, trace.angle, w, 4))) ==
              near(0.903936, tolerance + 2e-6));
    }
}
