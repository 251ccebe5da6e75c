// SPDX-License-Identifier: MIT
// What must hold for the exact solver whatever the driveline: symmetries, time turned round, the
// energy balance, no dependence on stretches, threads or the order of the description.
#include "libdamper/assemble/assemble.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"

#include "tests/support/changed_lines.hpp"
#include "tests/support/line_trace.hpp"
#include "tests/support/random_lines.hpp"
#include "tests/support/shipped.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <doctest/doctest.h>
#include <string>
#include <thread>

using namespace damper;
using namespace damper::test;

namespace {

struct Solved {
    LineTrace trace;
    EventfulOutcome out;
};

Solved solved(const RandomLine& random, double end, double largest_step = 1e-3) {
    Solved run;
    run.out = solve_with_events(
        random.line, random.start,
        {.end = end, .sample_step = end / 50.0, .largest_step = largest_step}, &run.trace);
    REQUIRE(run.out.report.complete);
    return run;
}

/// The wishes that the drivelines of these tests are drawn with, in turn.
RandomLine drawn(unsigned seed) {
    return random_line(seed, {.fewest = 2,
                              .most = 14,
                              .any_torque = seed % 2 == 0,
                              .series_cells = seed % 3 == 0,
                              .smooth = seed % 5 != 0});
}

/// Changes at one instant (two sliders on one twist that turns round) in the order of elements.
void sort_instants(std::vector<ModeChange>& changes) {
    for (std::size_t i = 0; i < changes.size();) {
        std::size_t end = i + 1;
        while (end < changes.size() && changes[end].time - changes[i].time < 1e-9) ++end;
        std::stable_sort(
            changes.begin() + static_cast<std::ptrdiff_t>(i),
            changes.begin() + static_cast<std::ptrdiff_t>(end),
            [](const ModeChange& x, const ModeChange& y) { return x.element < y.element; });
        i = end;
    }
}

/// Same changes of the same elements in the same order, same impacts.
void check_same_events(EventTable a, EventTable b) {
    sort_instants(a.changes);
    sort_instants(b.changes);
    REQUIRE(a.changes.size() == b.changes.size());
    for (std::size_t i = 0; i < a.changes.size(); ++i) {
        CAPTURE(i);
        CHECK(a.changes[i].element == b.changes[i].element);
        CHECK(a.changes[i].from == b.changes[i].from);
        CHECK(a.changes[i].to == b.changes[i].to);
        CHECK(std::abs(a.changes[i].time - b.changes[i].time) < 1e-9);
    }
    REQUIRE(a.impacts.size() == b.impacts.size());
    for (std::size_t i = 0; i < a.impacts.size(); ++i) {
        CAPTURE(i);
        CHECK(a.impacts[i].element == b.impacts[i].element);
        CHECK(std::abs(a.impacts[i].time - b.impacts[i].time) < 1e-9);
        CHECK(a.impacts[i].side == b.impacts[i].side);
        CHECK(std::abs(a.impacts[i].closing_speed - b.impacts[i].closing_speed) < 1e-7);
        CHECK(std::abs(a.impacts[i].peak_torque - b.impacts[i].peak_torque) <
              1e-6 * (1.0 + a.impacts[i].peak_torque));
    }
}

RandomLine idle_of(const std::string& name) {
    RandomLine out{assemble(shipped_scenario(name)).line, {}};
    out.start = steady_state(out.line).state;
    return out;
}

}  // namespace

TEST_CASE("exact solver properties: a mirrored line moves in mirror image") {
    for (unsigned seed = 1; seed <= 20; ++seed) {
        CAPTURE(seed);
        const RandomLine random = drawn(seed);
        const Solved one = solved(random, 0.03), other = solved(mirrored(random), 0.03);
        REQUIRE(one.trace.speed.size() == other.trace.speed.size());
        LineTrace back = other.trace;
        for (auto* list : {&back.speed, &back.angle}) {
            for (double& x : *list) x = -x;
        }
        CHECK(largest_share(one.trace.speed, back.speed) < 1e-12);
        CHECK(largest_share(one.trace.angle, back.angle) < 1e-12);
        CHECK(one.out.report.mode_changes == other.out.report.mode_changes);
    }
}

TEST_CASE(
    "exact solver properties: inertias and torques four times as large move the same to the bit") {
    for (unsigned seed = 1; seed <= 20; ++seed) {
        CAPTURE(seed);
        const RandomLine random = drawn(seed);
        const Solved one = solved(random, 0.03);
        const Solved other = solved(scaled(random, 4.0), 0.03);
        CHECK(one.trace.speed == other.trace.speed);
        CHECK(one.trace.angle == other.trace.angle);
        CHECK(other.out.energy.turnover() ==
              doctest::Approx(4.0 * one.out.energy.turnover()).epsilon(1e-12));
        const Solved third = solved(scaled(random, 3.0), 0.03);
        CHECK(largest_share(one.trace.speed, third.trace.speed) < 1e-9);
    }
}

TEST_CASE("exact solver properties: the order of the description changes only rounding") {
    for (unsigned seed = 1; seed <= 20; ++seed) {
        CAPTURE(seed);
        const RandomLine random = drawn(seed);
        const Solved one = solved(random, 0.02), other = solved(turned_round(random), 0.02);
        const std::size_t n = random.line.masses.size();
        std::vector<double> back(other.trace.speed.size());
        for (std::size_t k = 0; k < back.size(); ++k) {
            back[k] = other.trace.speed[k / n * n + (n - 1 - k % n)];
        }
        CHECK(largest_share(one.trace.speed, back) < 1e-9);
        CHECK(one.out.report.mode_changes == other.out.report.mode_changes);
    }
}

TEST_CASE("exact solver properties: in a linear line motions add up") {
    for (unsigned seed = 1; seed <= 10; ++seed) {
        CAPTURE(seed);
        const RandomLine all = linear_line(seed);
        RandomLine first = all, second = all;
        first.line.inputs.resize(1);
        second.line.inputs.erase(second.line.inputs.begin());
        for (double& speed : second.start.speed) speed = 0.0;
        const Solved sum = solved(all, 0.05);
        const Solved a = solved(first, 0.05), b = solved(second, 0.05);
        std::vector<double> added = a.trace.speed;
        for (std::size_t k = 0; k < added.size(); ++k) added[k] += b.trace.speed[k];
        CHECK(largest_share(sum.trace.speed, added) < 1e-12);
    }
}

TEST_CASE("exact solver properties: time turned round leads a lossless line back to its start") {
    for (unsigned seed = 1; seed <= 20; ++seed) {
        CAPTURE(seed);
        const RandomLine random = lossless_line(seed);
        const Solved there = solved(random, 0.06);
        RandomLine way_back = random;
        way_back.start = there.out.end;
        way_back.start.time = 0.0;
        for (double& speed : way_back.start.speed) speed = -speed;
        const EventfulOutcome again = solved(way_back, 0.06).out;
        CHECK(there.out.report.mode_changes > 0);
        // Every impact makes a rounding larger; so does the way back.
        for (std::size_t i = 0; i < random.start.speed.size(); ++i) {
            CHECK(std::abs(again.end.angle[i] - random.start.angle[i]) < 1e-9);
            CHECK(std::abs(again.end.speed[i] + random.start.speed[i]) < 1e-7);
        }
    }
}

TEST_CASE("exact solver properties: the energy balances to rounding on any driveline") {
    for (unsigned seed = 1; seed <= 60; ++seed) {
        CAPTURE(seed);
        CHECK(solved(drawn(seed), 0.2).out.energy.residual() < 1e-11);
        CHECK(solved(random_line(seed, {.fewest = 12, .most = 24}), 0.1).out.energy.residual() <
              1e-11);
    }
}

TEST_CASE("exact solver properties: the length of the stretches does not matter on any driveline") {
    for (unsigned seed = 1; seed <= 20; ++seed) {
        CAPTURE(seed);
        const RandomLine random = drawn(seed);
        const double end = 0.02;
        const Solved free = solved(random, end, 1.0);
        for (const double step : {25e-6, 50e-6, 100e-6, 1e-3}) {
            CAPTURE(step);
            const Solved cut = solved(random, end, step);
            CHECK(largest_share(cut.trace.speed, free.trace.speed) < 1e-9);
            check_same_events(cut.out.events, free.out.events);
        }
    }
}

TEST_CASE("exact solver properties: the length of the stretches does not matter at idle") {
    for (const std::string name :
         {"car_idle_no_idle_stage", "car_idle_hot", "van_idle_no_idle_stage", "van_idle_hot",
          "medium_truck_idle_cold", "medium_truck_idle_hot", "heavy_truck_idle_cold"}) {
        CAPTURE(name);
        const RandomLine idle = idle_of(name);
        // Some thirty impacts; twice as many, and chaos shows what rounding began.
        const double end = 0.03;
        const Solved free = solved(idle, end, 1.0);
        CHECK(free.out.energy.residual() < 1e-11);
        for (const double step : {25e-6, 100e-6}) {
            CAPTURE(step);
            const Solved cut = solved(idle, end, step);
            CHECK(largest_share(cut.trace.speed, free.trace.speed) < 1e-9);
            check_same_events(cut.out.events, free.out.events);
        }
    }
}

TEST_CASE("exact solver properties: the same bits on one, two and five threads") {
    constexpr std::size_t variants = 15;
    const auto results_on = [](std::size_t threads) {
        std::vector<Solved> results(variants);
        std::vector<std::thread> workers;
        for (std::size_t w = 0; w < threads; ++w) {
            workers.emplace_back([&, w] {
                for (std::size_t v = w; v < variants; v += threads) {
                    const RandomLine random = drawn(static_cast<unsigned>(v) + 1);
                    results[v].out =
                        solve_with_events(random.line, random.start,
                                          {.end = 0.1, .sample_step = 1e-3}, &results[v].trace);
                }
            });
        }
        for (std::thread& worker : workers) worker.join();
        return results;
    };
    const auto same = [](const std::vector<double>& a, const std::vector<double>& b) {
        return a.size() == b.size() &&
               std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0;
    };
    const std::vector<Solved> alone = results_on(1);
    for (const std::size_t threads : {2U, 5U}) {
        const std::vector<Solved> beside = results_on(threads);
        for (std::size_t v = 0; v < variants; ++v) {
            CAPTURE(v);
            const EventfulOutcome &a = alone[v].out, &b = beside[v].out;
            CHECK(same(a.end.angle, b.end.angle));
            CHECK(same(a.end.speed, b.end.speed));
            CHECK(same(alone[v].trace.speed, beside[v].trace.speed));
            CHECK(a.end.mode == b.end.mode);
            REQUIRE(a.events.changes.size() == b.events.changes.size());
            CHECK(std::equal(a.events.changes.begin(), a.events.changes.end(),
                             b.events.changes.begin(),
                             [](const ModeChange& x, const ModeChange& y) {
                                 return x.time == y.time && x.element == y.element && x.to == y.to;
                             }));
            REQUIRE(a.events.impacts.size() == b.events.impacts.size());
            CHECK(std::equal(a.events.impacts.begin(), a.events.impacts.end(),
                             b.events.impacts.begin(), [](const Impact& x, const Impact& y) {
                                 return x.time == y.time && x.impulse == y.impulse &&
                                        x.peak_torque == y.peak_torque &&
                                        x.energy_lost == y.energy_lost;
                             }));
        }
    }
}
