// SPDX-License-Identifier: MIT
#include "libdamper/outputs/json.hpp"

#include "tests/outputs/sample_record.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace damper;

TEST_CASE("numbers read back from JSON as the same doubles") {
    const RunRecord record = sample::idle();
    const auto json = nlohmann::json::parse(json_text(record));
    REQUIRE(json["measures"].size() == record.measures.size());
    for (std::size_t i = 0; i < record.measures.size(); ++i) {
        CHECK(json["measures"][i]["name"] == record.measures[i].name);
        CHECK(json["measures"][i]["units"] == record.measures[i].units);
        CHECK(json["measures"][i]["value"].get<double>() == record.measures[i].value);
    }
    CHECK(json["verdict"]["grade"] == "bad");
    CHECK(json["verdict"]["headline"] == record.verdict.headline);
    CHECK(json["verdict"]["judgements"][1]["margin"].get<double>() == -0.3);
    CHECK(json["bands"][1]["within"] == false);
    CHECK(json["energy"]["residual"].get<double>() == record.energy.residual());
    CHECK(json["energy"]["unbalanced_j"].get<double>() == doctest::Approx(0.0005));
    CHECK(json["solver"]["steps"] == 48211);
    CHECK(json["run"]["inputs"][0]["sha256"] == std::string(64, 'a'));
}

TEST_CASE("time and place of a run do not reach the JSON") {
    RunRecord record = sample::idle();
    const std::string text = json_text(record);
    record.identity.created = "2031-01-01T00:00:00Z";
    record.identity.host = "elsewhere";
    CHECK(json_text(record) == text);
}

TEST_CASE("JSON holds whatever a file says: quotes, control bytes, broken UTF-8, no number") {
    RunRecord record = sample::idle();
    record.identity.title = "\"\\\x01</script>\xFF";
    record.measures[0].value = std::nan("");
    const auto json = nlohmann::json::parse(json_text(record));
    CHECK(json["run"]["title"] == "\"\\\x01</script>\uFFFD");
    CHECK(json["measures"][0]["value"].is_null());
}
