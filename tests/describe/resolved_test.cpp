// SPDX-License-Identifier: MIT
#include "libdamper/describe/resolved.hpp"

#include "libdamper/describe/read.hpp"

#include "tests/support/samples.hpp"

#include <algorithm>
#include <doctest/doctest.h>
#include <set>
#include <string>
#include <vector>

using namespace damper;
using damper::testing::samples;

namespace {

const ResolvedValue* find(const std::vector<ResolvedValue>& values, const std::string& key) {
    const auto found = std::ranges::find(values, key, &ResolvedValue::key);
    return found == values.end() ? nullptr : &*found;
}

Scenario sample(const std::string& name) {
    return read_scenario(samples() / "scenarios" / (name + ".toml"),
                         {samples() / "models", {{"body.mass", "1.25 t"}}});
}

}  // namespace

TEST_CASE("every value is listed once as written, with origin and meaning") {
    const auto values = resolved_values(sample("idle"));
    std::set<std::string> keys;
    for (const ResolvedValue& value : values) {
        CAPTURE(value.key);
        CHECK(keys.insert(value.key).second);
        CHECK_FALSE(value.meaning.empty());
        CHECK_FALSE(value.where.empty());
        CHECK_FALSE(value.value.empty());
    }
    CHECK(values.size() > 90);
    CHECK(find(values, "disc.stages[0].stiffness")->value == "1.2 N m/deg");
    CHECK(find(values, "conditions.gearbox_oil")->value == "90 degC");
    CHECK(find(values, "body.mass")->value == "1.25 t");
    CHECK(find(values, "body.mass")->where == "--set");
    CHECK(find(values, "recording.step")->value == "50 us");
    CHECK(find(values, "recording.step")->where == "built-in default");
    CHECK(find(values, "engine.firing_order")->value == "1, 3, 4, 2");
    CHECK(find(values, "gearbox.oil.title")->value == "Sample oil, thick");
    CHECK(find(values, "expect.speed_fluctuation.within")->value == "0 rpm to 60 rpm");
    CHECK(find(values, "manoeuvre.kind")->value == "idle");
    CHECK(find(values, "title")->value == "Sample: idle, warm");
    CHECK(find(values, "vehicle.title")->value == "Sample car");
}

TEST_CASE("what was left out and has no default is not listed") {
    const auto values = resolved_values(sample("back_out_three"));
    CHECK(find(values, "engine.bore") == nullptr);
    CHECK(find(values, "engine.combustion.start") == nullptr);
    REQUIRE(find(values, "engine.harmonics[0].order") != nullptr);
    CHECK(find(values, "engine.harmonics[0].order")->value == "1.5");
    CHECK(find(values, "engine.firing_intervals")->value == "240 deg, 240 deg, 240 deg");
}

TEST_CASE("what is listed can be set again and gives the same list") {
    // The keys of the list are the keys of --set, and six digits of a sample value are all of them.
    const auto values = resolved_values(sample("idle"));
    ReadOptions options{samples() / "models", {}};
    for (const ResolvedValue& value : values) {
        const bool in_list = value.key.ends_with("]") || value.key == "engine.firing_order";
        if (in_list || value.key.starts_with("expect.")) continue;
        options.changes.emplace_back(value.key, value.value);
    }
    const auto again =
        resolved_values(read_scenario(samples() / "scenarios" / "idle.toml", options));
    REQUIRE(again.size() == values.size());
    for (std::size_t i = 0; i < values.size(); ++i) {
        CAPTURE(values[i].key);
        CHECK(again[i].key == values[i].key);
        CHECK(again[i].value == values[i].value);
    }
}

TEST_CASE("a scenario made in C++ is listed without origins") {
    Scenario scenario;
    scenario.vehicle.engine.inertia = Inertia::from_si(0.15);
    const auto values = resolved_values(scenario);
    REQUIRE(find(values, "engine.inertia") != nullptr);
    CHECK(find(values, "engine.inertia")->value == "0.15 kg m2");
    CHECK(find(values, "engine.inertia")->where.empty());
}
