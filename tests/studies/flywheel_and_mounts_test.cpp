// SPDX-License-Identifier: MIT
// Two-mass flywheels and mounts in what looks at the driveline without a scenario's run.
#include "libdamper/studies/find_modes.hpp"
#include "libdamper/studies/frequency_response.hpp"
#include "libdamper/studies/measure_one.hpp"
#include "libdamper/studies/run_one.hpp"

#include "tests/support/near.hpp"
#include "tests/support/shipped.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <string>

using namespace damper;
using damper::test::near;
using damper::test::shipped_scenario;

namespace {

const ModeRow& named(const GearModes& gear, const std::string& name) {
    const auto found = std::ranges::find(gear.modes, name, &ModeRow::name);
    REQUIRE_MESSAGE(found != gear.modes.end(), "gear " << gear.gear << " has no " << name);
    return *found;
}

double measure(const std::vector<MeasureValue>& measures, const std::string& name) {
    const auto found = std::ranges::find(measures, name, &MeasureValue::name);
    REQUIRE(found != measures.end());
    return found->value;
}

}  // namespace

TEST_CASE(
    "modes are named after the two-mass flywheel and the mounts where their energy is there") {
    ModesSettings settings;
    settings.gears = {"neutral"};
    const ModesRecord two = find_modes(shipped_scenario("car_two_mass_idle_hot"), settings);
    const double flywheel = named(two.gears[0], "two-mass flywheel").frequency;
    CHECK(flywheel > 8.0);
    CHECK(flywheel < 15.0);
    settings.gears = {"5"};
    const ModesRecord top = find_modes(shipped_scenario("car_two_mass_tip_in_2"), settings);
    CHECK(top.gears[0].modes[0].name == "shuffle on the two-mass flywheel");
    settings.gears = {"1", "2", "3"};
    const ModesRecord sound = find_modes(shipped_scenario("car_on_mounts_tip_in_2"), settings);
    const ModesRecord torn = find_modes(shipped_scenario("car_on_mounts_tip_in_2_torn"), settings);
    for (std::size_t g = 0; g < 3; ++g) {
        CAPTURE(sound.gears[g].gear);
        const double before = named(sound.gears[g], "shuffle").frequency;
        const double after = named(torn.gears[g], "shuffle").frequency;
        CHECK(after < 0.8 * before);
        CHECK(after > 0.6 * before);
        const double roll = named(sound.gears[g], "power unit rolls on its mounts").frequency;
        CHECK(roll > 9.0);
        CHECK(roll < 12.0);
    }
}

TEST_CASE("the response at idle follows the flywheel's swing and agrees with the run in time") {
    const Scenario scenario = shipped_scenario("van_two_mass_idle_hot");
    const ResponseSettings as_it_stands;
    const auto record = frequency_response(scenario, as_it_stands);
    REQUIRE(record.has_value());
    CHECK(record->friction == "equivalent");
    CHECK(record->swinging == "two-mass flywheel");
    const RunRecord run = run_one(scenario, {});
    // The flywheel leaves its free angle and comes back twice a period: harmonics, which the first
    // one stands for to a third.
    CHECK(record->at_firing.isolation ==
          doctest::Approx(measure(run.measures, "transfer")).epsilon(0.33).scale(0.0));
}

TEST_CASE("the response of the mounts to the engine's torque is static where the torque is slow") {
    // Far below every mode the drive shafts, held by a vehicle that gains speed, carry what the
    // inertias leave; the mounts carry the same in a transverse unit, by 1 − 1/ratio.
    ResponseSettings settings;
    settings.to = {"mounts", "drive shafts"};
    settings.quantity = "torque";
    settings.low = 0.05;
    const auto record = frequency_response(shipped_scenario("car_on_mounts_tip_in_2"), settings);
    REQUIRE(record.has_value());
    REQUIRE(record->curves.size() == 2);
    const double mounts = record->curves[0].magnitude[0];
    const double shafts = record->curves[1].magnitude[0];
    CHECK(mounts == near(shafts, 0.05));
}

TEST_CASE(
    "a run leaves the flywheel's loop, the lean of the torque and the signals in its record") {
    const RunRecord two = run_one(shipped_scenario("car_two_mass_idle_hot"), {});
    CHECK(two.flywheel_loop.corners.size() == 6);
    CHECK(two.signals.has("flywheel_twist"));
    CHECK(two.signals.has("flywheel_torque"));
    CHECK_FALSE(two.signals.has("block_roll"));
    const RunRecord rolls = run_one(shipped_scenario("car_on_mounts_idle_hot"), {});
    CHECK(rolls.flywheel_loop.twist.empty());
    CHECK(rolls.signals.has("block_roll"));
    const auto& parameters = rolls.model.inputs.at(0).parameters;
    const bool leans = std::any_of(parameters.begin(), parameters.end(), [](const auto& one) {
        return one.first == "reaction_factor" && one.second == -1.0;
    });
    CHECK(leans);
}

TEST_CASE("a periodic start finds the motion of an engine on its mounts") {
    const RunSettings periodic{.start = "periodic"};
    const Scenario scenario = shipped_scenario("car_on_mounts_idle_hot");
    const MeasuredRun one = measure_one(scenario, periodic);
    CHECK_MESSAGE(one.solver.start.periodic, one.solver.start.why_not);
    const MeasuredRun settled = measure_one(scenario, {});
    CHECK(measure(one.measured.measures, "roll_rms") ==
          near(measure(settled.measured.measures, "roll_rms"), 0.05));
}

TEST_CASE("a recorded flywheel speed holds the power unit still") {
    const Scenario scenario =
        shipped_scenario("car_idle_recorded_weak_cylinder", {{"vehicle", "car_on_mounts"}});
    const MeasuredRun run = measure_one(scenario, {});
    CHECK_FALSE(run.facts.on_mounts);
    for (const MeasureValue& one : run.measured.measures)
        CHECK_FALSE(one.name.starts_with("roll_"));
}
