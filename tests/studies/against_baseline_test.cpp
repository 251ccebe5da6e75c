// SPDX-License-Identifier: MIT
#include "libdamper/studies/against_baseline.hpp"

#include "libdamper/studies/built_in_tolerances.hpp"
#include "libdamper/studies/check_study.hpp"
#include "libdamper/studies/measure_one.hpp"

#include "tests/support/shipped.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <limits>

using namespace damper;
using damper::test::shipped_scenario;

namespace {

constexpr double no_number = std::numeric_limits<double>::quiet_NaN();

CheckedValue band(double value, double low, double high) {
    CheckedValue one;
    one.value = value;
    one.low = low;
    one.high = high;
    set_margin(one);
    return one;
}

Baseline tip_in() {
    Baseline one;
    one.manoeuvre = "tip in";
    one.measures = {{"overshoot", "1", 0.4, 0.0}};
    one.time = {0.0, 1.0, 2.0};
    one.signals = {{"disc_twist", "rad", {0.0, 0.1, 0.05}}};
    return one;
}

CheckedValue only(const std::vector<CheckedValue>& values, const std::string& name) {
    for (const CheckedValue& one : values) {
        if (one.name == name) return one;
    }
    FAIL("no such value: " << name);
    return {};
}

}  // namespace

TEST_CASE("a margin is 1 in the middle, 0 on a bound, negative outside") {
    CHECK(band(2.0, 1.0, 3.0).margin == 1.0);
    CHECK(band(1.0, 1.0, 3.0).margin == 0.0);
    CHECK(band(1.0, 1.0, 3.0).kept);
    CHECK(band(3.5, 1.0, 3.0).margin == -0.5);
    CHECK_FALSE(band(3.5, 1.0, 3.0).kept);
    CHECK_FALSE(band(no_number, 1.0, 3.0).kept);
    CHECK(band(no_number, 1.0, 3.0).margin == -std::numeric_limits<double>::infinity());
}

TEST_CASE("a band from zero says no more than: nothing at all has all the margin") {
    CHECK(band(0.0, 0.0, 2.0).margin == 1.0);
    CHECK(band(1.5, 0.0, 2.0).margin == 0.25);
    CHECK(band(3.0, 0.0, 2.0).margin == -1.0);
    CHECK_FALSE(band(-0.1, 0.0, 2.0).kept);
}

TEST_CASE("the largest of absolute, relative and interval is allowed") {
    Baseline stored = tip_in();
    Baseline now = stored;
    Tolerances given;
    given.measures["overshoot"] = {.absolute = 0.01, .relative = 0.1, .intervals = 2.0};
    now.measures[0].value = 0.43;  // 0.1 · 0.4 = 0.04 is allowed
    CHECK(only(held_against_baseline(stored, now, given), "overshoot").margin ==
          doctest::Approx(0.25));
    stored.measures[0].half_width = 0.03;  // 2·√(0.03² + 0.04²) = 0.1
    now.measures[0].half_width = 0.04;
    CHECK(only(held_against_baseline(stored, now, given), "overshoot").margin ==
          doctest::Approx(0.7));
    given.measures["overshoot"] = {.absolute = 0.02, .relative = {}, .intervals = 0.0};
    CHECK_FALSE(only(held_against_baseline(stored, now, given), "overshoot").kept);
}

TEST_CASE("a signal is held against its range, at its worst time") {
    const Baseline stored = tip_in();
    Baseline now = stored;
    Tolerances given;
    given.signals["disc_twist"] = {.absolute = {}, .relative = 0.05, .intervals = {}};
    now.signals[0].values = {0.001, 0.096, 0.05};  // 0.05 · 0.1 = 0.005 is allowed
    const CheckedValue one = only(held_against_baseline(stored, now, given), "disc_twist");
    CHECK(one.time == 1.0);
    CHECK(one.margin == doctest::Approx(0.2));
    now.signals[0].values[2] = no_number;
    CHECK_FALSE(only(held_against_baseline(stored, now, given), "disc_twist").kept);
}

TEST_CASE("what is gone, measured otherwise or at other times is missed; what is new is not") {
    const Baseline stored = tip_in();
    Baseline now = stored;
    now.measures.push_back({"shuffle_frequency", "Hz", 4.0, 0.0});
    CHECK(held_against_baseline(stored, now, {}).size() == 2);
    now.measures[0].units = "rad";
    CHECK_FALSE(only(held_against_baseline(stored, now, {}), "overshoot").kept);
    now.measures.erase(now.measures.begin());
    CHECK_FALSE(only(held_against_baseline(stored, now, {}), "overshoot").kept);
    now.time[1] = 1.5;
    CHECK_FALSE(only(held_against_baseline(stored, now, {}), "disc_twist").kept);
    now.signals.clear();
    CHECK_FALSE(only(held_against_baseline(stored, now, {}), "disc_twist").kept);
}

TEST_CASE("a measure that is no number stays kept as long as it is none") {
    Baseline stored = tip_in();
    stored.measures[0].value = no_number;
    Baseline now = stored;
    CHECK(only(held_against_baseline(stored, now, {}), "overshoot").kept);
    now.measures[0].value = 0.4;
    CHECK_FALSE(only(held_against_baseline(stored, now, {}), "overshoot").kept);
    CHECK_FALSE(only(held_against_baseline(now, stored, {}), "overshoot").kept);
}

TEST_CASE("a check takes the measures of a run, and a scenario that cannot be stays alone") {
    std::vector<CheckJob> jobs(3);
    jobs[0].scenario = shipped_scenario("car_tip_in_2");
    jobs[0].before.name = "good";
    jobs[1].scenario = jobs[0].scenario;
    std::get<TipIn>(jobs[1].scenario->manoeuvre).gear.append(" that is not there");
    jobs[1].before.name = "bad";
    jobs[2].before.name = "unread";
    jobs[2].before.end = CheckEnd::bad_input;
    const auto done = check_scenarios(jobs, {});
    REQUIRE(done.size() == 3);
    CHECK(done[0].end == CheckEnd::kept);
    CHECK(done[1].end == CheckEnd::bad_input);
    CHECK_FALSE(done[1].message.empty());
    CHECK(done[2].end == CheckEnd::bad_input);
    const MeasuredRun alone = measure_one(*jobs[0].scenario, {});
    REQUIRE(done[0].now.measures.size() == alone.measured.measures.size());
    for (std::size_t i = 0; i < alone.measured.measures.size(); ++i) {
        CHECK(done[0].now.measures[i].value == alone.measured.measures[i].value);
    }
    CHECK(done[0].now.time.size() <= 100);
    CHECK(done[0].now.time.size() >= 50);
}

TEST_CASE("a stop request leaves out what is not done") {
    std::vector<CheckJob> jobs(2);
    for (CheckJob& job : jobs) job.scenario = shipped_scenario("car_tip_in_2");
    const auto done =
        check_scenarios(jobs, {}, {.report = {}, .stop_requested = [] { return true; }});
    for (const CheckedScenario& one : done) CHECK(one.end == CheckEnd::not_reached);
}

TEST_CASE("signals are kept where the motion comes out alike again") {
    std::vector<CheckJob> jobs(3);
    jobs[0].scenario = shipped_scenario("car_idle_hot", {{"manoeuvre.length", "1.5 s"}});
    jobs[1].scenario = shipped_scenario("car_engine_stop");
    jobs[2].scenario = shipped_scenario("car_on_mounts_tip_in_2");
    const auto done = check_scenarios(jobs, {});
    CHECK(done[0].now.signals.empty());
    CHECK(done[1].now.signals.size() == 2);
    CHECK(done[2].now.signals.size() == 6);
}
