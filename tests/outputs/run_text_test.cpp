// SPDX-License-Identifier: MIT
#include "libdamper/outputs/run_text.hpp"

#include "libdamper/outputs/html_report.hpp"
#include "libdamper/outputs/json.hpp"
#include "libdamper/outputs/terminal.hpp"

#include "tests/outputs/sample_record.hpp"
#include "tests/support/has_text.hpp"

#include <doctest/doctest.h>
#include <limits>
#include <nlohmann/json.hpp>
#include <string>

using namespace damper;
using damper::testing::has;

namespace {

MeasureValue rate_known(std::int64_t batches, double half_width) {
    return {"impact_rate",
            "1/s",
            "",
            Better::less,
            12.3,
            Certainty{.half_width = half_width,
                      .confidence = 0.95,
                      .batches = batches,
                      .cycles_per_batch = 2}};
}

StartReport on_motion(double cycles) {
    return {.asked = "periodic",
            .periodic = true,
            .cycles = cycles,
            .period = 0.151,
            .multiplier = 0.93,
            .next_multiplier = 0.21,
            .mean_speed = true,
            .edge = "fold",
            .why_not = {},
            .cycles_run = 12};
}

}  // namespace

TEST_CASE("a value says how certain it is, in its own unit") {
    CHECK(value_text(rate_known(20, 0.214)) == "12.3 ± 0.21 per second (95 %)");
    CHECK(value_text(rate_known(0, 0.0)) == "12.3 per second (exact: the motion repeats)");
    CHECK(value_text({"impact_rate", "1/s", "", Better::less, 12.3}) == "12.3 per second");
    const MeasureValue power{
        "impact_energy_rate", "W",    "",
        Better::less,         0.0012, Certainty{.half_width = 3e-5, .batches = 16}};
    CHECK(value_text(power) == "1.2 ± 0.03 mW (95 %)");
}

TEST_CASE("the start says what was found, and how long a period is") {
    CHECK(start_text({}).empty());
    CHECK(
        has(start_text(on_motion(1.0)), "periodic, repeats every engine cycle (0.151 s), stable"));
    CHECK(has(start_text(on_motion(2.0)), "repeats every 2 engine cycles"));
    CHECK(has(start_text(on_motion(0.25)), "repeats every 1/4 engine cycle ("));
    CHECK(has(start_text(on_motion(4.0 / 3.0)), "repeats every 4/3 engine cycles ("));
    CHECK(has(start_text(on_motion(1.0)), "largest multiplier 0.93 (mean speed), next 0.21"));
    const StartReport none{.asked = "periodic", .why_not = "nothing repeats", .cycles_run = 9};
    CHECK(has(start_text(none),
              "not periodic: nothing repeats; statistics from a settled state instead"));
}

TEST_CASE("the end says why a run stopped where it did") {
    SolverReport report;
    CHECK(stop_text(report).empty());
    report.stop = {.reason = "certain", .share = 0.02, .share_reached = 0.018, .cycles = 64};
    CHECK(has(stop_text(report), "after 64 engine cycles"));
    CHECK(has(stop_text(report), "known to ±1.8 % (95 %); ±2 % was asked for"));
    report.stop.share_reached = std::numeric_limits<double>::infinity();
    CHECK(has(stop_text(report), "drift, but within ±2 %"));
    report.stop.reason = "quiet";
    CHECK(stop_text(report) == "after 64 engine cycles without a tooth impact.");
    report.stop.reason = "longest";
    CHECK(has(stop_text(report), "the longest time was over"));
    report.stop.reason = "repeats";
    report.stop.cycles = 1;
    CHECK(has(stop_text(report), "after 1 engine cycle: the motion repeats itself"));
}

TEST_CASE("text, page and data tell start, end and certainty") {
    RunRecord record = sample::idle();
    record.measures.push_back(rate_known(20, 0.2));
    record.solver.start = on_motion(1.0);
    record.solver.stop = {.reason = "certain",
                          .share = 0.02,
                          .share_reached = std::numeric_limits<double>::infinity(),
                          .longest = 60.0,
                          .cycles = 64};
    const std::string text = terminal_text(record);
    CHECK(has(text, "Impact rate: 12.3 ± 0.2 per second (95 %)"));
    CHECK(has(text, "start: periodic, repeats every engine cycle"));
    CHECK(has(text, "end: after 64 engine cycles"));
    const std::string page = html_report(record);
    CHECK(has(page, "12.3 ± 0.2 per second (95 %)"));
    CHECK(has(page, "Start: periodic, repeats every engine cycle"));
    CHECK(has(page, "End: after 64 engine cycles"));

    const nlohmann::json data = nlohmann::json::parse(json_text(record));
    const nlohmann::json& rate = data["measures"].back();
    CHECK(rate["half_width"] == 0.2);
    CHECK(rate["confidence"] == 0.95);
    CHECK(rate["batches"] == 20);
    CHECK(rate["cycles_per_batch"] == 2);
    CHECK_FALSE(data["measures"][0].contains("half_width"));
    const nlohmann::json& start = data["solver"]["start"];
    CHECK(start["periodic"] == true);
    CHECK(start["period_cycles"] == 1.0);
    CHECK(start["multiplier"] == 0.93);
    CHECK(start["multiplier_of_mean_speed"] == true);
    CHECK(data["solver"]["stop"]["reason"] == "certain");
    CHECK(data["solver"]["stop"]["share_reached"].is_null());
}
