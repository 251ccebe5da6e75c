// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/outputs/baseline_json.hpp"
#include "libdamper/outputs/check_text.hpp"
#include "libdamper/outputs/check_words.hpp"
#include "libdamper/outputs/junit.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <limits>
#include <nlohmann/json.hpp>

using namespace damper;

namespace {

constexpr double no_number = std::numeric_limits<double>::quiet_NaN();

Baseline sample() {
    Baseline one;
    one.scenario = "a \"b\"";
    one.title = "caf\xff & <more>";
    one.manoeuvre = "tip in";
    one.program_version = "0.1.0";
    one.changes = {{"disc.stages[0].stiffness", "times 1.1"}};
    one.inputs = {{"models/vehicles/x.toml", std::string(64, 'a')}};
    one.measures = {{"overshoot", "1", 1.0 / 3.0, 0.0},
                    {"impact_rate", "1/s", 12.0, 1.5},
                    {"settle_time", "s", no_number, 0.0}};
    for (int i = 0; i < 25; ++i) one.time.push_back(0.01 * i);
    one.signals = {{"disc_twist", "rad", std::vector<double>(25, -1.0 / 7.0)}};
    return one;
}

CheckReport report() {
    CheckReport out;
    CheckedScenario bad;
    bad.name = "bad <&> one";
    bad.vehicle = "Car, petrol 1.6";
    bad.end = CheckEnd::missed;
    CheckedValue value{.name = "shuffle_frequency",
                       .units = "Hz",
                       .against = CheckedAgainst::baseline,
                       .value = 4.5,
                       .low = 3.96,
                       .high = 4.04,
                       .expected = 4.0,
                       .time = 0.0,
                       .margin = -11.5,
                       .kept = false,
                       .why = "1 % allowed\x1b[31m"};
    bad.values = {value};
    CheckedScenario good = bad;
    good.name = "good";
    good.end = CheckEnd::kept;
    good.values[0].value = 4.0;
    good.values[0].margin = 1.0;
    good.values[0].kept = true;
    out.scenarios = {good, bad};
    return out;
}

}  // namespace

TEST_CASE("a baseline comes back from its file") {
    const Baseline one = sample();
    const std::string text = baseline_json(one);
    const Baseline back = read_baseline(text, "x.json");
    CHECK(back.scenario == one.scenario);
    CHECK(back.changes == one.changes);
    CHECK(back.inputs == one.inputs);
    REQUIRE(back.measures.size() == 3);
    CHECK(back.measures[0].value == doctest::Approx(1.0 / 3.0).epsilon(1e-9));
    CHECK(back.measures[1].half_width == 1.5);
    CHECK(std::isnan(back.measures[2].value));
    CHECK(back.time.size() == 25);
    CHECK(back.signals[0].values[24] == doctest::Approx(-1.0 / 7.0).epsilon(1e-6));
    CHECK(baseline_json(back) == text);
    CHECK(nlohmann::json::parse(text).is_object());
}

TEST_CASE("what changed from one baseline to another is said with its share") {
    const Baseline before = sample();
    Baseline after = before;
    after.measures[1].value = 15.0;
    after.measures.erase(after.measures.begin());
    after.signals[0].values[3] = 0.0;
    const auto said = baseline_changes(before, after);
    REQUIRE(said.size() == 3);
    CHECK(said[0] == "impact_rate 12 -> 15 per second (+25 %)");
    CHECK(said[1] == "overshoot is gone");
    CHECK(said[2] == "signal disc_twist");
}

TEST_CASE("a file that is no baseline is refused with its name") {
    const std::string good = baseline_json(sample());
    std::vector<std::string> bad = {"", "null", "[1]", "{\"format\": 3}",
                                    "{\"format\": \"damper baseline\"}"};
    for (std::size_t cut = 1; cut + 3 < good.size(); cut += 7) bad.push_back(good.substr(0, cut));
    for (const std::string& text : bad) {
        CAPTURE(text);
        try {
            (void)read_baseline(text, "x.json");
            FAIL("taken as a baseline");
        } catch (const InputError& error) {
            CHECK(std::string(error.what()).starts_with("x.json"));
        }
    }
}

TEST_CASE("a miss names measure, value, share, interval and margin") {
    CHECK(sentence_of(report().scenarios[1].values[0])
              .starts_with("shuffle_frequency 4.5 Hz is 12.5 % above the baseline's 4 Hz; 3.96 to "
                           "4.04 Hz is kept"));
    CHECK(sentence_of(report().scenarios[1].values[0]).ends_with("margin -11.50"));
}

TEST_CASE("the smallest margin comes first, and the count at the end") {
    const std::string text = check_text(report());
    CHECK(text.find("bad <&> one") < text.find("good"));
    CHECK(text.find("2 scenarios: 1 kept, 1 missed") != std::string::npos);
    CHECK(text.find('\x1b') == std::string::npos);
}

TEST_CASE("XML escapes names, messages and bytes that it must not hold") {
    const std::string xml = junit_xml(report(), {"2026-01-31T12:00:00", "host<"});
    CHECK(xml.find("name=\"bad &lt;&amp;&gt; one\"") != std::string::npos);
    CHECK(xml.find("hostname=\"host&lt;\"") != std::string::npos);
    CHECK(xml.find("classname=\"damper.check.Car__petrol_1_6\"") != std::string::npos);
    CHECK(xml.find("tests=\"2\" failures=\"1\" errors=\"0\" skipped=\"0\"") != std::string::npos);
    CHECK(xml.find('\x1b') == std::string::npos);
}

TEST_CASE("JSON without times is the same whatever the clock and the threads") {
    CheckReport one = report();
    const std::string text = check_json(one, false);
    one.seconds = 12.0;
    one.threads = 7;
    one.scenarios[0].seconds = 3.0;
    CHECK(check_json(one, false) == text);
    CHECK(nlohmann::json::parse(check_json(one, true))["times"]["threads"] == 7);
}
