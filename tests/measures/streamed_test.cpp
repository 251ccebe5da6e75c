// SPDX-License-Identifier: MIT
#include "libdamper/measures/run_measures.hpp"

#include "tests/measures/synthetic.hpp"
#include "tests/support/allocations.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;
using namespace damper::test;
using namespace damper::synthetic;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double speed = 850.0 * pi / 30.0;  // rad/s
const std::vector<std::string> elements = {"disc", "gear 3 loose", "gear 5 loose", "axle"};

RunFacts facts_for(const std::string& manoeuvre) {
    RunFacts facts;
    facts.manoeuvre = manoeuvre;
    facts.measured_from = 0.5;
    facts.length = 2.0;
    facts.firing_order = 2.0;
    facts.change_start = 0.5;
    facts.acceleration_to = 1.0;
    facts.stages = {{"idle", 0.10, -0.08, 30.0, 3.0, -2.4},
                    {"main", 0.35, -0.25, 950.0, 240.0, -164.0}};
    facts.loose_gears = {{"gear 3 loose", 1.5, 1e-3, 0.1}, {"gear 5 loose", 2.0, 5e-4, 0.2}};
    facts.loaded_lashes = {{"axle", 8.0, 0.2}};
    return facts;
}

RunSample sample_at(double t) {
    const double w = 2.0 * speed;
    const double s = std::sin(w * t);
    return {.time = t,
            .crank_angle = speed * t - 0.01 * std::cos(w * t),
            .flywheel_speed = speed + 0.01 * w * s,
            .input_shaft_speed = speed + 0.003 * w * std::sin(w * t + 0.7),
            .flywheel_acceleration = 0.01 * w * w * std::cos(w * t),
            .input_shaft_acceleration = 0.003 * w * w * std::cos(w * t + 0.7),
            .disc_twist = 0.02 + 0.13 * s,
            .vehicle_acceleration =
                t < 0.5 ? 0.0 : 1.0 - std::exp(-2.0 * (t - 0.5)) * std::cos(14.0 * (t - 0.5))};
}

/// Contacts of three elements that overlap each other, in order of their beginning.
std::vector<Impact> contacts() {
    std::vector<Impact> out;
    for (int i = 0; i < 90; ++i) {
        const double t = 0.4 + 0.015 * i;
        const double x = 0.1 + 0.37 * (i % 7);
        out.push_back({t, 1 + i % 3, 1, x, 1e-3 / 3.0 * x, 5.0, 1e-3 / 7.0 * x,
                       0.04 - 0.035 * (i % 2), speed * t});
    }
    return out;
}

Measured fed(RunMeasures& measures, const RunFacts& facts, const std::vector<Impact>& impacts) {
    measures.start(facts, elements);
    for (int i = 0; i <= 8000; ++i) measures.sample(sample_at(2.5e-4 * i));
    for (const Impact& impact : impacts) measures.impact(impact);
    return measures.finish();
}

void check_same(const Measured& a, const Measured& b) {
    REQUIRE(a.measures.size() == b.measures.size());
    for (std::size_t i = 0; i < a.measures.size(); ++i) {
        CAPTURE(a.measures[i].name);
        CHECK(a.measures[i].name == b.measures[i].name);
        CHECK(a.measures[i].value == b.measures[i].value);
    }
    REQUIRE(a.gear_impacts.size() == b.gear_impacts.size());
    for (std::size_t i = 0; i < a.gear_impacts.size(); ++i) {
        CHECK(a.gear_impacts[i].energy_rate == b.gear_impacts[i].energy_rate);
        CHECK(a.gear_impacts[i].closing_speed_rms == b.gear_impacts[i].closing_speed_rms);
    }
    CHECK(a.notes == b.notes);
}

}  // namespace

TEST_CASE("impacts in order of their end give the same bits as in order of their beginning") {
    const std::vector<Impact> by_beginning = contacts();
    std::vector<Impact> by_end = by_beginning;
    std::sort(by_end.begin(), by_end.end(), [](const Impact& a, const Impact& b) {
        return a.time + a.duration < b.time + b.duration;
    });
    bool differs = false;
    for (std::size_t i = 0; i < by_end.size(); ++i) {
        differs = differs || by_end[i].time != by_beginning[i].time;
    }
    REQUIRE(differs);
    for (const char* manoeuvre : {"idle", "tip in"}) {
        const RunFacts facts = facts_for(manoeuvre);
        RunMeasures one, two;
        const Measured first = fed(one, facts, by_beginning);
        check_same(first, fed(two, facts, by_end));
        CHECK(first.measures.size() > 10);
    }
}

TEST_CASE("a workspace that has measured another run forgets all of it") {
    const RunFacts idle = facts_for("idle");
    const RunFacts change = facts_for("tip in");
    RunMeasures fresh_idle, fresh_change, used;
    const Measured idle_alone = fed(fresh_idle, idle, contacts());
    const Measured change_alone = fed(fresh_change, change, contacts());
    check_same(fed(used, idle, contacts()), idle_alone);
    check_same(fed(used, change, contacts()), change_alone);
    check_same(fed(used, change, contacts()), change_alone);
    check_same(fed(used, idle, contacts()), idle_alone);
}

TEST_CASE("no sample and no impact of an idle run allocates, nor of a second change of torque") {
    const std::vector<Impact> impacts = contacts();
    const RunFacts idle = facts_for("idle");
    const RunFacts change = facts_for("tip in");
    RunMeasures measures;
    (void)fed(measures, change, impacts);
    for (const RunFacts* facts : {&idle, &change}) {
        measures.start(*facts, elements);
        const std::size_t before = allocations();
        for (int i = 0; i <= 8000; ++i) measures.sample(sample_at(2.5e-4 * i));
        for (const Impact& impact : impacts) measures.impact(impact);
        CHECK(allocations() == before);
    }
    const std::size_t before = allocations();
    (void)measures.finish();
    CHECK(allocations() > before);  // the count counts
}

TEST_CASE("the last contact of a lash counts as parted only if it ends before the run") {
    const RunFacts facts = facts_for("tip in");
    RunMeasures measures;
    const Impact parted{0.8, 3, 1, 1.0, 0.8, 5.0, 0.1, 0.1};
    const Impact carries{1.0, 3, 1, 1.0, 80.0, 5.0, 0.1, 1.0};
    const Impact leaves{1.0, 3, 1, 1.0, 8.0, 5.0, 0.1, 0.9};
    CHECK(value(fed(measures, facts, {parted, carries}), "clunk_impulse") == doctest::Approx(0.1));
    CHECK(value(fed(measures, facts, {parted, leaves}), "clunk_impulse") == doctest::Approx(1.0));
    CHECK(value(fed(measures, facts, {carries}), "clunk_impulse") == 0.0);
}

TEST_CASE("statistics of a small swing on a large mean keep their digits") {
    // A sine of amplitude 1e-4 on 1e6: sums of plain squares would leave no digit of it.
    RunningStatistics statistics;
    for (int i = 0; i < 100000; ++i) statistics.add(1e6 + 1e-4 * std::sin(2.0 * pi * i / 1000.0));
    CHECK(statistics.deviation() == doctest::Approx(1e-4 / std::sqrt(2.0)).epsilon(1e-5));
    CHECK(statistics.mean() == doctest::Approx(1e6).epsilon(1e-14));
    CHECK(statistics.high() - statistics.low() == doctest::Approx(2e-4).epsilon(1e-5));
    CHECK(RunningStatistics().deviation() == 0.0);
}
