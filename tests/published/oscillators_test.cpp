// SPDX-License-Identifier: MIT
// Oscillators with exact solutions, through the time solver.
#include "libdamper/driveline/driveline.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/solvers/event_collector.hpp"

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

/// Largest |angle| over the last `seconds`.
double settled_amplitude(const AngleTrace& trace, double seconds) {
    double peak = 0.0;
    for (std::size_t i = 0; i < trace.time.size(); ++i) {
        if (trace.time[i] > trace.time.back() - seconds) {
            peak = std::max(peak, std::abs(trace.angle[i]));
        }
    }
    return peak;
}

/// Unit mass on a unit spring with dry friction F (grip 2e6: what it gives shows as 3e-4 of the
/// amplitude, measured) and damping ratio z, forced by sin(r·t): amplitude after the transient.
double forced_amplitude(double r, double friction, double z) {
    const Driveline line =
        LineBuilder()
            .mass("mass", 1.0)
            .element("spring", {{0, 1.0}}, linear_spring(1.0, 2.0 * z))
            .element("friction", {{0, 1.0}}, slider({.limit = friction, .grip = 2e6}))
            .input(0, SineTorque{.amplitude = 1.0, .frequency = r})
            .done();
    AngleTrace trace;
    const TimeOutcome out = solve_general(
        line, start_state(line),
        {.end = 260.0, .sample_step = 0.002, .tolerance = 1e-9, .largest_step = 0.05}, &trace);
    REQUIRE(out.report.complete);
    return settled_amplitude(trace, 2.0 * 2.0 * pi / r);
}

}  // namespace

TEST_CASE("forced oscillation with Coulomb friction has Den Hartog's amplitude") {
    // J. P. Den Hartog, Forced vibrations with combined Coulomb and viscous friction, Trans. ASME
    // 53 (1931), APM-53-9, 107-115 (citation and closed form recalled):
    // x0/(P/k) = sqrt(V² − (F/P)² U²), V = 1/(1 − r²), U = sin(π/r)/(r (1 + cos(π/r))).
    struct Row {
        double r, friction;
    };
    for (const Row& row :
         {Row{0.7, 0.3}, Row{0.8, 0.5}, Row{1.25, 0.3}, Row{1.5, 0.3}, Row{2.0, 0.2}}) {
        CAPTURE(row.r);
        const double v = 1.0 / (1.0 - row.r * row.r);
        const double u = std::sin(pi / row.r) / (row.r * (1.0 + std::cos(pi / row.r)));
        const double expected = std::sqrt(v * v - row.friction * row.friction * u * u);
        CHECK(forced_amplitude(row.r, row.friction, 0.0) == near(expected, 1e-3));
    }
}

TEST_CASE("Coulomb and viscous friction together: half-cycle boundary values") {
    // Same source, with damping; amplitudes from the half-cycle boundary-value solution of
    // x'' + 2 z x' + x + F sgn x' = cos(r t) (derived).
    CHECK(forced_amplitude(0.7, 0.3, 0.05) == near(1.767068, 1e-3));
    CHECK(forced_amplitude(1.0, 0.5, 0.10) == near(1.812089, 1e-3));
    CHECK(forced_amplitude(1.0, 0.3, 0.05) == near(6.179135, 1e-3));
    CHECK(forced_amplitude(1.25, 0.3, 0.10) == near(1.246206, 1e-3));
}

TEST_CASE("free decay under Coulomb friction loses 2 T_f/k per half cycle and sticks") {
    // Closed form: J = 0.1 kg m², k = 1000 N m/rad, T_f = 10 N m, start 0.093 rad: turning points
    // 0.073, 0.053, 0.033, 0.013, 0.007 rad in alternation, at rest after five half cycles.
    const Driveline line =
        LineBuilder()
            .mass("mass", 0.1)
            .element("spring", {{0, 1.0}}, linear_spring(1000.0, 0.0))
            .element("friction", {{0, 1.0}}, slider({.limit = 10.0, .grip = 1e7}))
            .done();
    State start = start_state(line);
    start.angle[0] = 0.093;
    start.mode[1] = 2;  // it is let go and slips back
    AngleTrace trace;
    const TimeOutcome out =
        solve_general(line, start, {.end = 0.3, .sample_step = 1e-5, .tolerance = 1e-10}, &trace);
    REQUIRE(out.report.complete);
    const double half_cycle = pi * std::sqrt(0.1 / 1000.0);
    const double expected[] = {-0.073, 0.053, -0.033, 0.013};
    for (int i = 0; i < 4; ++i) {
        const auto at = static_cast<std::size_t>((i + 1) * half_cycle / 1e-5);
        CHECK(trace.angle[at] == near(expected[i], 1e-3));
    }
    CHECK(std::abs(trace.angle.back()) == near(0.007, 2e-3));
    CHECK(std::abs(trace.speed.back()) < 0.02);  // what is left swings in the grip alone
}

TEST_CASE("free bilinear oscillator has Shaw and Holmes' frequency at every amplitude") {
    // S. W. Shaw, P. J. Holmes, A periodically forced piecewise linear oscillator, J. Sound Vib.
    // 90(1), 1983, 129-155 (citation recalled): ω = 2 ω1 ω2/(ω1 + ω2).
    const double w1 = std::sqrt(1000.0 / 0.1);
    const double w2 = std::sqrt(4000.0 / 0.1);
    const double period = 2.0 * pi * (w1 + w2) / (2.0 * w1 * w2);
    const Driveline line =
        LineBuilder()
            .mass("mass", 0.1)
            .element("spring", {{0, 1.0}},
                     piecewise_spring({{"soft", 1000.0}, {"stiff", 4000.0}}, {0.0}))
            .done();
    for (const double amplitude : {1e-4, 0.01, 1.0}) {
        CAPTURE(amplitude);
        State start = start_state(line);
        start.speed[0] = amplitude * w2;
        AngleTrace trace;
        const TimeOutcome out = solve_general(
            line, start, {.end = 20.0 * period, .sample_step = period, .tolerance = 1e-12}, &trace);
        REQUIRE(out.report.complete);
        // After twenty periods: a frequency off by 1e-8 would show as 1e-6 of the speed.
        CHECK(std::abs(trace.angle.back()) < 1e-6 * amplitude);
        CHECK(trace.speed.back() == near(start.speed[0], 1e-8));
        const double energy = 0.5 * 0.1 * start.speed[0] * start.speed[0];
        CHECK(std::abs(out.energy.unbalanced()) < 1e-8 * energy);
    }
}

TEST_CASE("an impact that ends when the force does has the restitution of its damping") {
    // Closed form of a mass on a Kelvin-Voigt contact that cannot pull (checked by an independent
    // integration): e = 0.858758, 0.744079, 0.571740 at ζ = 0.05, 0.1, 0.2.
    struct Row {
        double zeta, restitution, duration;
    };
    for (const Row& row : {Row{0.05, 0.858758, 3.045360}, Row{0.1, 0.744079, 2.956075},
                           Row{0.2, 0.571740, 2.795354}}) {
        CAPTURE(row.zeta);
        const double k = 2e5, j = 1e-3;
        const Driveline line = LineBuilder()
                                   .mass("gear", j)
                                   .element("tooth", {{0, 1.0}},
                                            lash({.gap = 2e-3,
                                                  .stiffness = k,
                                                  .damping = 2.0 * row.zeta * std::sqrt(k * j)}))
                                   .done();
        State start = start_state(line);
        start.speed[0] = 0.5;
        AngleTrace trace;
        EventCollector collector(line, &trace);
        const TimeOutcome out = solve_general(
            line, start, {.end = 2.8e-3, .sample_step = 1e-5, .tolerance = 1e-11}, &collector);
        REQUIRE(out.report.complete);
        const EventTable events = collector.take();
        REQUIRE(events.impacts.size() == 1);
        const Impact& impact = events.impacts[0];
        CHECK(trace.speed.back() == near(-0.5 * row.restitution, 1e-5));
        CHECK(impact.closing_speed == near(0.5, 1e-8));
        CHECK(impact.time == near(1e-3 / 0.5, 1e-8));
        CHECK(impact.side == 1);
        CHECK(impact.impulse == near(j * 0.5 * (1.0 + row.restitution), 1e-5));
        const double lost = 0.5 * j * 0.25 * (1.0 - row.restitution * row.restitution);
        CHECK(impact.energy_lost == near(lost, 1e-5));
        // ω·t of the push; the record runs on until the faces are apart.
        const double push_ends = row.duration / std::sqrt(k / j);
        CHECK(impact.duration > push_ends);
        bool seen = false;
        for (const ModeChange& change : events.changes) {
            if (events.modes[static_cast<std::size_t>(change.to)] == "drive face parting") {
                CHECK(change.time - impact.time == near(push_ends, 1e-5));
                seen = true;
            }
        }
        CHECK(seen);
    }
}

TEST_CASE("the loose gear stays in contact below the rattle threshold and rattles above") {
    // T. G. Brosey, R. L. Seaman, C. E. Johnson, R. F. Hamilton, Effect of transmission design on
    // gear rattle and shiftability, Int. J. Vehicle Design 7(1/2), 1986, 45-66: the criterion
    // J·α = T_drag. Inputs 1e-3 kg m², 0.1 N m, 25 Hz give 100 rad/s² (derived).
    for (const double alpha : {99.0, 101.0}) {
        CAPTURE(alpha);
        const double w = 2.0 * pi * 25.0;
        const double driver = 1e4;  // so heavy that the gear does not move it
        const Driveline line =
            LineBuilder()
                .mass("driver", driver, 80.0)
                .mass("gear", 1e-3, 80.0)
                .element("tooth", {{0, 1.0}, {1, -1.0}},
                         lash({.gap = 2.5e-3, .stiffness = 3e5, .damping = 3.0}))
                .element("drag", {{1, 1.0}}, slider({.limit = 0.1, .grip = 100.0}))
                .input(0, SineTorque{.mean = 0.1, .amplitude = driver * alpha, .frequency = w})
                .done();
        State start = start_state(line);
        start.mode[0] = 1;  // on the drive face, pressed by the drag
        start.mode[1] = 1;
        start.speed[0] = -alpha / w;
        start.speed[1] = -alpha / w;
        start.angle[0] = 1.25e-3 + 0.1 / 3e5;
        EventCollector events(line);
        const TimeOutcome out = solve_general(
            line, start, {.end = 1.0, .sample_step = 1e-3, .tolerance = 1e-9}, &events);
        REQUIRE(out.report.complete);
        CHECK((events.take().impacts.size() > 0) == (alpha > 100.0));
    }
}
