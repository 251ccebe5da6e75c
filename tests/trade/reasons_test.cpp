// SPDX-License-Identifier: MIT
// What the program says of shipped vehicles with a known fault. Directions are common practice, no
// source.
#include "tests/trade/trade.hpp"

using namespace damper;
using namespace damper::trade;

namespace {

bool says(const RunRecord& record, const std::string& part) {
    const auto& reasons = record.verdict.reasons;
    return std::any_of(reasons.begin(), reasons.end(), [&](const std::string& sentence) {
        return sentence.find(part) != std::string::npos;
    });
}

const std::string tight = "The idle stage is tight: its friction (5 N m ";

}  // namespace

TEST_CASE("a van's idle washer with five times its friction is called tight, hot and cold") {
    for (const std::string name : {"van_idle_hot", "van_idle_cold"}) {
        CAPTURE(name);
        CHECK_FALSE(says(run(name), "tight"));
        CHECK(says(run(name, {{"disc.stages[0].friction_factor", "5"}}), tight));
    }
    // A firm new stage moves little too, but its springs carry more than its washer.
    CHECK_FALSE(says(run("van_idle_firm_idle_stage"), "tight"));
    CHECK_FALSE(says(run("car_idle_firm_idle_stage"), "tight"));
}

TEST_CASE("cold oil that passes the idle stage is told with the torque the stage can hold") {
    const RunRecord cold = run("van_idle_cold");
    CHECK(says(cold, "more than the 4.8 N m its idle stage can hold"));
    CHECK(says(cold, "works on its main stage for"));
    CHECK(says(cold, "Gear oil of middle grade"));
}

TEST_CASE("the middle stage of three may work at idle, the last one not") {
    const RunRecord three = run("car_idle_cold", {{"disc", "car_three_stage"}});
    CHECK(measure(three, "time_beyond_first_stage") > 0.3);
    CHECK(measure(three, "time_on_last_stage") == 0.0);
    CHECK(says(three, "works on its middle stage for"));
    const RunRecord two = run("car_idle_cold");
    CHECK(measure(two, "time_on_last_stage") == measure(two, "time_beyond_first_stage"));
    CHECK(two.verdict.grade == Grade::bad);
}

TEST_CASE("lash grown beyond that of a worn car is told at the wheel") {
    const RunRecord grown = run("car_tip_in_2_grown_lash");
    CHECK(says(grown, "its play is 7.0° there"));
    CHECK(says(grown, "more than usual even for a worn car"));
    CHECK_FALSE(says(run("car_tip_in_2"), "more than usual"));
}
