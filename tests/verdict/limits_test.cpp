// SPDX-License-Identifier: MIT
#include "libdamper/verdict/limits.hpp"

#include <doctest/doctest.h>
#include <set>
#include <string>

using namespace damper;

TEST_CASE("a limit of one class does not reach another") {
    const auto car = find_limit("input_shaft_acceleration_order", "car");
    const auto heavy = find_limit("input_shaft_acceleration_order", "heavy truck");
    REQUIRE(car);
    REQUIRE(heavy);
    CHECK(car->good > heavy->good);
    CHECK_FALSE(find_limit("input_shaft_acceleration_order", "hovercraft"));
    CHECK_FALSE(find_limit("twist_mean", "car"));
}

TEST_CASE("a limit without a class holds for all") {
    for (const char* vehicle : {"car", "light van", "medium truck", "heavy truck"}) {
        REQUIRE(find_limit("transfer", vehicle));
        CHECK(find_limit("transfer", vehicle)->good == 0.4);
    }
}

TEST_CASE("every limit tells whose it is, and none stands twice") {
    std::set<std::string> seen;
    for (const Limit& limit : all_limits()) {
        CAPTURE(limit.measure);
        CHECK_FALSE(limit.source.empty());
        // Either a band of the tool's own, or it says how far its source goes.
        const auto says = [&](std::string_view words) {
            return limit.source.find(words) != std::string_view::npos;
        };
        CHECK((says("working band") || says("no source") || says("recalled") ||
               says("by definition")));
        const auto key = std::string(limit.measure) + "/" + std::string(limit.vehicle_class);
        CHECK(seen.insert(key).second);
    }
}

TEST_CASE("the last stage of a disc has a limit, a middle stage has none") {
    REQUIRE(find_limit("time_on_last_stage", "car"));
    CHECK(find_limit("time_on_last_stage", "car")->bad == 0.02);
    CHECK_FALSE(find_limit("time_beyond_first_stage", "car"));
}
