// SPDX-License-Identifier: MIT
// What the general time solver promises on any driveline.
#include "libdamper/solvers/general/general_solver.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/solvers/event_collector.hpp"

#include "tests/support/near.hpp"
#include "tests/support/random_lines.hpp"
#include "tests/support/small_lines.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <string>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double pi = std::numbers::pi;

/// Everything a sample holds, in one row per sample.
class Record final : public Sink {
  public:
    void sample(const Instant& instant) override {
        time.push_back(instant.time);
        std::vector<double> row(instant.angle.begin(), instant.angle.end());
        row.insert(row.end(), instant.speed.begin(), instant.speed.end());
        rows.push_back(row);
    }
    std::vector<double> time;
    std::vector<std::vector<double>> rows;
};

double distance(const std::vector<double>& a, const std::vector<double>& b) {
    double worst = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) worst = std::max(worst, std::abs(a[i] - b[i]));
    return worst;
}

/// A gear that is knocked about in its play, with a friction washer on its spring: impacts and
/// stick-slip, but motion that does not double every error at every impact.
Driveline knocking(double sign = 1.0) {
    Cell damper{{{"spring", piecewise_spring({{"coast", 900.0}, {"idle", 60.0}, {"drive", 900.0}},
                                             {-0.03, 0.03})},
                 {"washer", slider({.limit = 2.0, .grip = 4000.0})}}};
    return LineBuilder()
        .mass("engine", 0.2)
        .mass("input", 0.01)
        .mass("gear", 0.002)
        .chain("disc", {{0, 1.0}, {1, -1.0}}, {damper})
        .element("tooth", {{1, 0.5}, {2, -1.0}},
                 lash({.gap = 0.004, .stiffness = 3e4, .damping = 2.5}))
        .element("drag", {{2, 1.0}}, slider({.limit = 0.2, .grip = 200.0, .viscous = 0.02}))
        .element("input drag", {{1, 1.0}}, linear_spring(0.0, 0.05))
        .input(0, SineTorque{.amplitude = 60.0 * sign, .frequency = 150.0, .phase = 0.3})
        .done();
}

bool warns_of(const TimeOutcome& out, const std::string& word) {
    return std::any_of(
        out.report.warnings.begin(), out.report.warnings.end(),
        [&](const std::string& text) { return text.find(word) != std::string::npos; });
}

}  // namespace

TEST_CASE("energy balances on any driveline to a hundred times the tolerance") {
    for (unsigned seed = 1; seed <= 30; ++seed) {
        CAPTURE(seed);
        const RandomLine drawn = random_line(seed);
        CAPTURE(drawn.line.masses.size());
        const TimeOutcome out =
            solve_general(drawn.line, drawn.start, {.end = 0.3, .tolerance = 1e-9}, nullptr);
        REQUIRE(out.report.complete);
        CHECK(out.energy.residual() < 1e-7);
        CHECK(out.energy.turnover() > 0.1);
        for (const EnergyBook::Entry& entry : out.energy.entries) {
            CHECK(entry.dissipated >= -1e-9 * out.energy.turnover());
        }
    }
}

TEST_CASE("the error falls at least with the tolerance, through impacts and friction") {
    const Driveline line = knocking();
    const auto end_state = [&](double tolerance) {
        EventCollector events(line);
        const TimeOutcome out =
            solve_general(line, start_state(line), {.end = 0.15, .tolerance = tolerance}, &events);
        REQUIRE(out.report.complete);
        REQUIRE(events.take().impacts.size() > 5);
        REQUIRE(out.report.mode_changes > 40);
        std::vector<double> all = out.end.speed;
        all.insert(all.end(), out.end.angle.begin(), out.end.angle.end());
        return all;
    };
    const std::vector<double> reference = end_state(1e-13);
    const double coarse = distance(end_state(1e-6), reference);
    CHECK(coarse < 1e-4);
    for (const int decades : {1, 2, 3, 4}) {
        const double error = distance(end_state(std::pow(10.0, -6 - decades)), reference);
        CAPTURE(decades);
        // A factor five in hand for the luck of single runs.
        CHECK(error < 5.0 * coarse * std::pow(10.0, -decades));
    }
}

TEST_CASE("the same run begun at another time is the same run") {
    // A whole number of periods later.
    const Driveline line = knocking();
    Record now, later;
    const double shift = 40.0 * 2.0 * pi / 150.0;
    const TimeSettings settings{.end = 0.1, .sample_step = 1e-3, .tolerance = 1e-11};
    REQUIRE(solve_general(line, start_state(line), settings, &now).report.complete);
    State start = start_state(line);
    start.time = shift;
    TimeSettings moved = settings;
    moved.end += shift;
    REQUIRE(solve_general(line, start, moved, &later).report.complete);
    REQUIRE(later.rows.size() == now.rows.size());
    for (std::size_t i = 0; i < now.rows.size(); ++i) {
        CHECK(later.time[i] - shift == near(now.time[i] + 1.0, 1.0 + 1e-12));
        CHECK(distance(now.rows[i], later.rows[i]) < 1e-6);
    }
}

TEST_CASE("turning everything round turns the solution round") {
    // All laws of this driveline are odd.
    const Driveline line = knocking(1.0), mirror = knocking(-1.0);
    State start = start_state(line);
    start.speed = {0.4, -0.2, 0.3};
    State other = start_state(mirror);
    other.speed = {-0.4, 0.2, -0.3};
    Record one, two;
    const TimeSettings settings{.end = 0.1, .sample_step = 1e-3, .tolerance = 1e-10};
    EventCollector events_one(line, &one), events_two(mirror, &two);
    const TimeOutcome a = solve_general(line, start, settings, &events_one);
    const TimeOutcome b = solve_general(mirror, other, settings, &events_two);
    REQUIRE(a.report.complete);
    REQUIRE(b.report.complete);
    for (std::size_t i = 0; i < one.rows.size(); ++i) {
        for (double& value : two.rows[i]) value = -value;
        CHECK(distance(one.rows[i], two.rows[i]) < 1e-12);
    }
    const std::vector<Impact> ones = events_one.take().impacts;
    const std::vector<Impact> twos = events_two.take().impacts;
    REQUIRE(ones.size() == twos.size());
    for (std::size_t i = 0; i < ones.size(); ++i) {
        CHECK(ones[i].side == -twos[i].side);
    }
}

TEST_CASE("a chain without damping and friction keeps its energy") {
    LineBuilder chain;
    for (int i = 0; i < 8; ++i) chain.mass("disc " + std::to_string(i), 0.01 + 0.01 * i);
    for (int i = 1; i < 8; ++i) {
        const Law law = i % 2 == 0 ? linear_spring(1500.0, 0.0)
                                   : piecewise_spring({{"a", 3000.0}, {"b", 200.0}, {"c", 4000.0}},
                                                      {-0.004, 0.006});
        chain.element("shaft " + std::to_string(i), {{i - 1, 1.0}, {i, -1.2}}, law);
    }
    const Driveline line = chain.done();
    State start = start_state(line);
    start.speed[0] = 10.0;
    start.speed[7] = -4.0;
    double kinetic = 0.0;
    for (std::size_t i = 0; i < 8; ++i) {
        kinetic += 0.5 * line.masses[i].inertia * start.speed[i] * start.speed[i];
    }
    const TimeOutcome out = solve_general(line, start, {.end = 2.0, .tolerance = 1e-11}, nullptr);
    REQUIRE(out.report.complete);
    CHECK(out.report.mode_changes > 50);
    CHECK(std::abs(out.energy.unbalanced()) < 1e-7 * kinetic);
    for (const EnergyBook::Entry& entry : out.energy.entries) {
        CHECK(std::abs(entry.dissipated) < 1e-9 * kinetic);
    }
}

TEST_CASE("samples lie on the asked times, both ends included, whatever the tolerance") {
    const Driveline line = knocking();
    for (const double step : {1e-3, 7e-5, 1e-4, 3e-4}) {
        for (const double end : {0.021, 0.03, 0.0999}) {
            const auto count = static_cast<std::size_t>(end / step * (1.0 + 1e-12)) + 1;
            for (const double tolerance : {1e-4, 1e-7, 1e-10}) {
                CAPTURE(step);
                CAPTURE(end);
                Record record;
                REQUIRE(solve_general(line, start_state(line),
                                      {.end = end, .sample_step = step, .tolerance = tolerance},
                                      &record)
                            .report.complete);
                REQUIRE(record.time.size() == count);
                for (std::size_t i = 0; i < count; ++i) {
                    CHECK(std::abs(record.time[i] - static_cast<double>(i) * step) < 1e-15);
                }
            }
        }
    }
}

TEST_CASE("a request to stop keeps what there is and says when") {
    const Driveline line = knocking();
    int asked = 0;
    double share = -1.0;
    Progress progress;
    progress.stop_requested = [&] { return ++asked > 3; };
    progress.report = [&](double now) {
        CHECK(now >= share);
        share = now;
    };
    Record record;
    const TimeOutcome out = solve_general(line, start_state(line),
                                          {.end = 50.0, .sample_step = 1e-3}, &record, progress);
    CHECK_FALSE(out.report.complete);
    CHECK(warns_of(out, "request"));
    CHECK(out.report.end_time > 0.0);
    CHECK(out.report.end_time < 50.0);
    CHECK(out.end.time == out.report.end_time);
    CHECK(record.time.size() ==
          static_cast<std::size_t>(std::floor(out.report.end_time / 1e-3)) + 1);
    CHECK(out.energy.residual() < 1e-5);
}

TEST_CASE("a contact that goes round for ever in place ends the run and is named") {
    Law broken;
    broken.kind = "spring";
    for (int i = 0; i < 2; ++i) {
        Mode mode{.label = i == 0 ? "one" : "other", .spring = 1.0};
        mode.guards = {{.value = {.offset = 0.01, .twist = -1.0}, .next = 1 - i}};
        broken.modes.push_back(mode);
    }
    const Driveline line =
        LineBuilder().mass("mass", 1.0).element("faulty latch", {{0, 1.0}}, broken).done();
    State start = start_state(line);
    start.speed[0] = 1.0;
    const TimeOutcome out = solve_general(line, start, {.end = 1.0}, nullptr);
    CHECK_FALSE(out.report.complete);
    CHECK(warns_of(out, "faulty latch"));
    CHECK(out.end.time == near(0.01, 1e-3));
}

TEST_CASE("a number beyond all bounds ends the run with a message, and in time") {
    for (const double stiffness : {1e30, 1e300}) {
        CAPTURE(stiffness);
        const Driveline line = LineBuilder()
                                   .mass("mass", 1.0)
                                   .element("rod", {{0, 1.0}}, linear_spring(stiffness, 0.0))
                                   .done();
        State start = start_state(line);
        start.speed[0] = 1.0;
        start.angle[0] = 1.0;
        int asked = 0;
        Progress progress;
        progress.stop_requested = [&] { return ++asked > 2000; };  // half a million steps
        const TimeOutcome out = solve_general(line, start, {.end = 0.1}, nullptr, progress);
        CHECK_FALSE(out.report.complete);
        REQUIRE_FALSE(out.report.warnings.empty());
        CHECK_FALSE(warns_of(out, "request"));
        CHECK(warns_of(out, "rod"));
    }
    const Driveline runaway =
        LineBuilder().mass("mass", 1e-300).input(0, ConstantTorque{1e300}).done();
    const TimeOutcome out = solve_general(runaway, start_state(runaway), {.end = 0.1}, nullptr);
    CHECK_FALSE(out.report.complete);
    CHECK_FALSE(out.report.warnings.empty());
}

TEST_CASE("impossible settings are refused") {
    const Driveline line = knocking();
    const State start = start_state(line);
    const auto refused = [&](TimeSettings settings) {
        CHECK_THROWS_AS((void)solve_general(line, start, settings, nullptr), ModelError);
    };
    refused({.end = 0.0});
    refused({.end = -1.0});
    refused({.end = std::nan("")});
    refused({.end = 1.0, .sample_step = 0.0});
    refused({.end = 1.0, .tolerance = 0.0});
    refused({.end = 1.0, .tolerance = std::nan("")});
    refused({.end = 1.0, .largest_step = 0.0});
    refused({.end = 1.0, .largest_step = -1e-3});
}

TEST_CASE("a uniform rotation is no deviation: long runs lose no digits") {
    // The same motion about rest and about 300 rad/s through a gear pair.
    const auto line = [](double speed) {
        return LineBuilder()
            .mass("a", 0.2, speed)
            .mass("b", 0.05, 2.5 * speed)
            .element("mesh", {{0, 2.5}, {1, -1.0}},
                     piecewise_spring({{"a", 500.0}, {"b", 1e4}}, {0.001}))
            .input(0, SineTorque{.amplitude = 20.0, .frequency = 90.0})
            .done();
    };
    AngleTrace still(1), turning(1);
    const TimeSettings settings{.end = 2.0, .sample_step = 1e-3, .tolerance = 1e-10};
    const Driveline at_rest = line(0.0), running = line(300.0);
    REQUIRE(solve_general(at_rest, start_state(at_rest), settings, &still).report.complete);
    REQUIRE(solve_general(running, start_state(running), settings, &turning).report.complete);
    CHECK(distance(still.angle, turning.angle) < 1e-7);
}
