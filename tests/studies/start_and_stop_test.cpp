// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/studies/measure_one.hpp"
#include "libdamper/studies/periodic_start.hpp"
#include "libdamper/studies/ready_run.hpp"
#include "libdamper/studies/run_one.hpp"

#include "tests/support/shipped.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <filesystem>
#include <string>
#include <thread>
#include <utility>
#include <vector>

using namespace damper;
using damper::test::Changes;
using damper::test::shipped_scenario;

namespace {

const MeasureValue& find(const std::vector<MeasureValue>& measures, const std::string& name) {
    const auto found = std::ranges::find(measures, name, &MeasureValue::name);
    REQUIRE(found != measures.end());
    return *found;
}

void check_same(const std::vector<MeasureValue>& a, const std::vector<MeasureValue>& b) {
    REQUIRE(a.size() == b.size());
    for (std::size_t i = 0; i < a.size(); ++i) {
        CAPTURE(a[i].name);
        CHECK(a[i].name == b[i].name);
        CHECK(a[i].value == b[i].value);
        REQUIRE(a[i].certainty.has_value() == b[i].certainty.has_value());
        if (!a[i].certainty) continue;
        CHECK(a[i].certainty->half_width == b[i].certainty->half_width);
        CHECK(a[i].certainty->batches == b[i].certainty->batches);
        CHECK(a[i].certainty->cycles_per_batch == b[i].certainty->cycles_per_batch);
    }
}

const RunSettings periodic{.start = "periodic"};
const RunSettings one_period{.start = "periodic", .certain = 0.02};
const RunSettings certain{.certain = 0.02};

}  // namespace

TEST_CASE("on the periodic motion one period tells what a long run comes to") {
    // Quiet, rattling in step, cylinders unequal. The long run starts on the motion too, but by the
    // other solver, which knows nothing of periods.
    for (const char* name : {"car_idle_cold", "car_idle_weak_cylinder", "heavy_truck_idle_hot"}) {
        CAPTURE(name);
        const MeasuredRun one = measure_one(shipped_scenario(name), one_period);
        const StartReport& start = one.solver.start;
        REQUIRE_MESSAGE(start.periodic, start.why_not);
        CHECK(one.solver.stop.reason == "repeats");
        CHECK(one.solver.stop.cycles == 1);
        CHECK(start.multiplier < 1.0);
        CHECK(start.mean_speed);
        CHECK(start.next_multiplier < start.multiplier);
        CHECK(one.facts.measured_from == 0.0);
        CHECK(one.solver.end_time == doctest::Approx(start.period / start.cycles));
        CHECK(find(one.measured.measures, "impact_rate").certainty->half_width == 0.0);

        RunSettings other = periodic;
        other.solver = "general";
        const MeasuredRun many = measure_one(shipped_scenario(name), other);
        CHECK(many.solver.stop.reason == "length");
        CHECK(many.solver.stop.cycles > 8);
        for (const MeasureValue& measure : many.measured.measures) {
            CAPTURE(measure.name);
            // Accelerations jump where a tooth strikes or a stage begins: what samples 0.1 ms apart
            // see of that depends on where they fall.
            const bool jumps = measure.name.find("acceleration") != std::string::npos ||
                               measure.name == "transfer" || measure.name == "threshold_ratio";
            const double value = find(one.measured.measures, measure.name).value;
            CHECK(value == doctest::Approx(measure.value).epsilon(jumps ? 2e-3 : 2e-5).scale(1e-6));
        }
    }
}

TEST_CASE("a run that settles for long gets where the periodic start is at once") {
    const MeasuredRun at_once = measure_one(shipped_scenario("car_idle_cold"), one_period);
    // Of a disturbance of the mean speed, a period leaves the multiplier: of one at the start, a
    // minute leaves less than a thousandth, but the usual half second most.
    const StartReport& start = at_once.solver.start;
    REQUIRE(start.periodic);
    CHECK(start.mean_speed);
    CHECK(std::pow(start.multiplier, 60.0 / start.period) < 1e-3);
    CHECK(std::pow(start.multiplier, 0.5 / start.period) > 0.8);
    const MeasuredRun settled =
        measure_one(shipped_scenario("car_idle_cold",
                                     {{"manoeuvre.settle", "60 s"}, {"manoeuvre.length", "62 s"}}),
                    {});
    const MeasuredRun usual = measure_one(shipped_scenario("car_idle_cold"), {});
    for (const char* name : {"twist_mean", "speed_fluctuation_input_rms"}) {
        CAPTURE(name);
        const double value = find(settled.measured.measures, name).value;
        const double left = std::abs(find(at_once.measured.measures, name).value - value);
        CHECK(left < 2e-4 * value);
        CHECK(left < 0.2 * std::abs(find(usual.measured.measures, name).value - value));
    }
}

TEST_CASE("where nothing repeats, statistics are taken from a settled state, and it says so") {
    const MeasuredRun run = measure_one(shipped_scenario("car_idle_no_idle_stage"), periodic);
    const StartReport& start = run.solver.start;
    CHECK_FALSE(start.periodic);
    CHECK(start.why_not.find("nothing that repeats itself was found") != std::string::npos);
    CHECK(start.cycles_run <= PeriodicStartSettings{}.most_cycles);
    CHECK(run.solver.complete);
    CHECK(run.facts.measured_from == 0.0);
    CHECK(run.facts.length == doctest::Approx(2.0));  // 2.5 s less 0.5 s of settling
    CHECK(find(run.measured.measures, "impact_rate").value > 500.0);
}

TEST_CASE("a periodic motion that is not stable is not taken") {
    // With the clutch released nothing holds the mean speed of this engine.
    const MeasuredRun run = measure_one(shipped_scenario("car_idle_pedal_down"), periodic);
    CHECK_FALSE(run.solver.start.periodic);
    CHECK(run.solver.start.why_not.find("of the mean speed, which nothing holds") !=
          std::string::npos);
    CHECK(run.solver.complete);
}

TEST_CASE("the work of a search is bounded, and a stop request ends it") {
    const Scenario chaotic = shipped_scenario("car_idle_no_idle_stage");
    const ReadyRun ready = make_ready(chaotic);
    const PeriodicStart little =
        periodic_start(ready.assembled, ready.start,
                       {.first_settling = 2, .then_settling = 2, .most_cycles = 10}, {});
    CHECK_FALSE(little.report.periodic);
    CHECK(little.report.cycles_run <= 10);
    CHECK(little.state.time == 0.0);
    int asked = 0;
    const Progress stop{.report = {}, .stop_requested = [&] { return ++asked > 3; }};
    const PeriodicStart stopped = periodic_start(ready.assembled, ready.start, {}, stop);
    CHECK_FALSE(stopped.report.periodic);
    CHECK(stopped.report.cycles_run < 30);
    CHECK(stopped.report.why_not.find("on request") != std::string::npos);
    CHECK_THROWS_AS((void)periodic_start(ready.assembled, ready.start, {.first_settling = 0}, {}),
                    ModelError);
}

TEST_CASE("the interval of a rattle covers what a long run comes to") {
    const MeasuredRun run = measure_one(shipped_scenario("car_idle_no_idle_stage"), certain);
    CHECK(run.solver.complete);
    CHECK(run.solver.stop.reason == "certain");
    CHECK(run.solver.end_time < 20.0);
    const MeasuredRun lasting = measure_one(
        shipped_scenario("car_idle_no_idle_stage", {{"manoeuvre.length", "60.5 s"}}), {});
    const MeasuredRun usual = measure_one(shipped_scenario("car_idle_no_idle_stage"), {});
    for (const char* name : {"impact_rate", "impact_energy_rate"}) {
        CAPTURE(name);
        const MeasureValue& now = find(run.measured.measures, name);
        const MeasureValue& all = find(lasting.measured.measures, name);
        const MeasureValue& few = find(usual.measured.measures, name);
        REQUIRE(now.certainty);
        REQUIRE(all.certainty);
        REQUIRE(few.certainty);
        CHECK(now.certainty->half_width <= 0.02 * now.value);
        CHECK(all.certainty->half_width < now.certainty->half_width);
        CHECK(few.certainty->half_width > now.certainty->half_width);
        CHECK(std::abs(now.value - all.value) <= now.certainty->half_width);
        CHECK(std::abs(few.value - all.value) <= few.certainty->half_width);
    }
}

TEST_CASE("what is not known by the longest time is told with the interval reached") {
    RunSettings settings{.certain = 0.001, .longest = 6.0};
    const MeasuredRun run = measure_one(shipped_scenario("car_idle_no_idle_stage"), settings);
    CHECK(run.solver.complete);
    CHECK(run.solver.stop.reason == "longest");
    CHECK(run.solver.end_time == doctest::Approx(6.5));
    REQUIRE(run.solver.warnings.size() == 1);
    CHECK(run.solver.warnings[0].find("after the longest time, 6 s, the rates of tooth impacts are "
                                      "known to ±") == 0);
    CHECK(run.solver.stop.share_reached > 0.001);
}

TEST_CASE("a quiet run ends when it has been quiet for long enough") {
    const MeasuredRun run = measure_one(shipped_scenario("car_idle_cold"), certain);
    CHECK(run.solver.stop.reason == "quiet");
    CHECK(run.solver.stop.cycles == RattleCertainty::fewest_cycles);
    CHECK(run.solver.complete);
    CHECK(run.solver.warnings.empty());
    CHECK(find(run.measured.measures, "impact_rate").value == 0.0);
}

TEST_CASE("start and stop are the same with and without stored signals, on one thread or two") {
    struct Case {
        const char* name;
        RunSettings settings;
    };
    for (Case one :
         {Case{"car_idle_weak_cylinder", periodic}, Case{"car_idle_hot", one_period},
          Case{"car_idle_no_idle_stage", certain}, Case{"van_idle_stuck_stage", periodic},
          Case{"car_idle_no_idle_stage", {.solver = "general", .certain = 0.05}}}) {
        CAPTURE(one.name);
        one.settings.longest = 8.0;
        const Scenario run = shipped_scenario(one.name, {{"manoeuvre.length", "1.3 s"}});
        const RunRecord stored = run_one(run, one.settings);
        MeasuredRun beside;
        std::thread other([&] { beside = measure_one(run, one.settings); });
        const MeasuredRun streamed = measure_one(run, one.settings);
        other.join();
        check_same(stored.measures, streamed.measured.measures);
        check_same(stored.measures, beside.measured.measures);
        CHECK(stored.solver.complete);
        CHECK(stored.solver.stop.reason == streamed.solver.stop.reason);
        CHECK(stored.solver.stop.cycles == streamed.solver.stop.cycles);
        CHECK(stored.solver.end_time == streamed.solver.end_time);
        CHECK(stored.signals.time.back() == doctest::Approx(stored.solver.end_time));
        CHECK(stored.solver.warnings == streamed.solver.warnings);
        CHECK(stored.measured_from == streamed.facts.measured_from);
    }
}

TEST_CASE("start and stop refuse what they cannot mean") {
    const auto refused = [](const char* name, const RunSettings& settings, const char* why) {
        CAPTURE(why);
        try {
            (void)measure_one(shipped_scenario(name), settings);
            FAIL("not refused");
        } catch (const InputError& error) {
            CHECK(std::string(error.what()).find(why) != std::string::npos);
        }
    };
    refused("car_idle_cold", {.start = "warm"}, "known are steady and periodic");
    refused("car_tip_in_2", {.start = "periodic"}, "only idle has");
    refused("car_back_out_2", {.certain = 0.02}, "only idle has");
    refused("car_idle_cold", {.certain = 0.9}, "expected 0.1 % to 50 %");
    refused("car_idle_cold", {.certain = -0.1}, "expected 0.1 % to 50 %");
    refused("car_idle_cold", {.certain = std::nan("")}, "expected 0.1 % to 50 %");
    refused("car_idle_cold", {.certain = 0.02, .longest = 0.0}, "expected 1 s to 600 s");
}
