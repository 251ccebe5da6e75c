// SPDX-License-Identifier: MIT
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/solvers/contact_log.hpp"
#include "libdamper/solvers/event_collector.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/general/general_solver.hpp"

#include "tests/support/allocations.hpp"
#include "tests/support/small_lines.hpp"

#include <cmath>
#include <doctest/doctest.h>

using namespace damper;
using namespace damper::test;

namespace {

/// A gear in its play behind a driver that swings, dragged.
Driveline rattling() {
    return LineBuilder()
        .mass("driver", 1e4, 80.0)
        .mass("gear", 1e-3, 80.0)
        .element("tooth", {{0, 1.0}, {1, -1.0}},
                 lash({.gap = 2.5e-3, .stiffness = 3e5, .damping = 3.0}))
        .element("drag", {{1, 1.0}}, slider({.limit = 0.1, .grip = 100.0}))
        .input(0, SineTorque{.mean = 0.1, .amplitude = 3e6, .frequency = 157.0})
        .done();
}

State pressed(const Driveline& line) {
    State start = start_state(line);
    start.mode[0] = 1;
    start.mode[1] = 1;
    start.speed[0] = start.speed[1] = -300.0 / 157.0;
    start.angle[0] = 1.25e-3 + 0.1 / 3e5;
    return start;
}

struct Watch final : Sink {
    void sample(const Instant& instant) override { last_sample = instant.time; }
    void change(const ModeChange& change) override {
        CHECK(change.time >= last_change);
        last_change = change.time;
        ++changes;
    }
    void impact(const Impact& impact) override {
        // It is told when it is over: not before its end, and at once.
        CHECK(impact.time + impact.duration == doctest::Approx(last_change).epsilon(1e-12));
        ++impacts;
    }
    double last_sample = -1.0, last_change = -1.0;
    int changes = 0, impacts = 0;
};

}  // namespace

TEST_CASE("events are told while the run goes, impacts when they are over") {
    const Driveline line = rattling();
    const TimeSettings settings{.end = 0.4, .sample_step = 1e-3, .crank = 0};
    for (const bool exact : {false, true}) {
        CAPTURE(exact);
        Watch watch;
        const TimeOutcome out = exact ? solve_exact(line, pressed(line), settings, &watch)
                                      : solve_general(line, pressed(line), settings, &watch);
        REQUIRE(out.report.complete);
        CHECK(watch.changes == out.report.mode_changes);
        CHECK(watch.impacts > 5);
    }
}

TEST_CASE("an impact carries the whole angle of the crank, or none") {
    const Driveline line = rattling();
    TimeSettings settings{.end = 0.4, .sample_step = 1e-3, .crank = 0};
    const auto impacts = [&] {
        EventCollector events(line);
        REQUIRE(solve_general(line, pressed(line), settings, &events).report.complete);
        return events.take().impacts;
    };
    const std::vector<Impact> with = impacts();
    REQUIRE(with.size() > 5);
    for (const Impact& impact : with) {
        // The driver hardly feels the gear: 80·t and the swing of a = 300·sin(157·t) that begins
        // with −300/157 rad/s are its motion in closed form. The gear's 0.3 N m on 1e4 kg m² move
        // it by less than 3e-6 rad.
        const double swing = -300.0 / (157.0 * 157.0) * std::sin(157.0 * impact.time);
        const double expected = 80.0 * impact.time + swing + 1.25e-3 + 0.1 / 3e5;
        CHECK(std::abs(impact.crank_angle - expected) < 3e-6);
    }
    settings.crank = -1;
    for (const Impact& impact : impacts()) CHECK(impact.crank_angle == 0.0);
}

TEST_CASE("names of elements and modes are there without a run") {
    const Driveline line = rattling();
    const EventTable names = event_names(line);
    REQUIRE(names.elements.size() == line.part_count());
    CHECK(names.impacts.empty());
    EventCollector events(line);
    (void)solve_general(line, pressed(line), {.end = 0.1}, &events);
    const EventTable table = events.take();
    CHECK(table.elements == names.elements);
    CHECK(table.modes == names.modes);
    REQUIRE_FALSE(table.changes.empty());
    const ModeChange& first = table.changes.front();
    const Law& law = line.branches[0].chain[0].parts[0].law;
    REQUIRE(first.element == 0);
    CHECK(table.modes[static_cast<std::size_t>(first.from)] == law.modes[1].label);
}

TEST_CASE("a log without listener stores and allocates nothing") {
    const Driveline line = rattling();
    Stacked stacked(line);
    stacked.set(start_state(line));
    ContactLog log(stacked, nullptr, 0);
    const std::vector<double> angle = {0.1, 0.2};
    const std::size_t before = allocations();
    for (int i = 0; i < 1000; ++i) {
        log.change(1e-3 * i, angle, 0, 0, 1, 0.3, 1e-3 * i, 1e-4 * i);
        log.torque(0, 5.0);
        log.change(1e-3 * i + 5e-4, angle, 0, 1, 0, -0.3, 1e-3 * i + 5e-4, 1e-4 * i + 5e-5);
    }
    CHECK(allocations() == before);
    CHECK(log.open().empty());
}
