// SPDX-License-Identifier: MIT
// What the trade knows of two-mass flywheels and mounts, one sentence a test. Directions are common
// practice, no source.
#include "tests/trade/trade.hpp"

using namespace damper;
using namespace damper::trade;

TEST_CASE("a two-mass flywheel isolates at idle with a disc that has no damper at all") {
    for (const char* vehicle : {"car", "van"}) {
        const std::string name = std::string(vehicle) + "_two_mass_idle_hot";
        CAPTURE(name);
        const RunRecord two = run(name);
        const RunRecord solid = run(name, {{"two_mass_flywheel", "none"}});
        CHECK(measure(two, "transfer") < 0.2);
        CHECK(measure(solid, "transfer") > 0.95);
        CHECK(measure(solid, "impact_energy_rate") > 100.0 * measure(two, "impact_energy_rate"));
        CHECK(two.verdict.grade == Grade::good);
        CHECK(solid.verdict.grade == Grade::bad);
        // The primary side is lighter than engine and solid flywheel: it swings more.
        CHECK(measure(two, "speed_fluctuation_flywheel_order") >
              1.1 * measure(solid, "speed_fluctuation_flywheel_order"));
    }
}

TEST_CASE("in a full pull the flywheel keeps the gearbox far quieter than the sprung disc does") {
    const RunRecord two = run("car_two_mass_pull_3");
    const RunRecord one = run("car_pull_3");
    CHECK(measure(two, "input_shaft_acceleration_largest") <
          0.4 * measure(one, "input_shaft_acceleration_largest"));
    CHECK(measure(two, "flywheel_stop_contacts") == 0.0);
}

TEST_CASE("an engine cranked too slowly hangs in the flywheel's resonance") {
    const RunRecord strong = run("van_two_mass_engine_start");
    const RunRecord weak = run("van_two_mass_engine_start_weak_starter");
    CHECK(measure(strong, "flywheel_stop_contacts") == 0.0);
    CHECK(measure(weak, "flywheel_stop_contacts") > 10.0);
    CHECK(weak.verdict.grade == Grade::bad);
    const bool told = std::any_of(
        weak.verdict.reasons.begin(), weak.verdict.reasons.end(), [](const std::string& reason) {
            return reason.find("hangs in the resonance") != std::string::npos;
        });
    CHECK(told);
    for (const MeasureValue& one : weak.measures) CHECK(one.name != "time_to_idle");
}

TEST_CASE("a torn arc spring runs onto its stop under a torque that a sound flywheel bears") {
    CHECK(measure(run("car_two_mass_tip_in_2"), "flywheel_stop_contacts") == 0.0);
    const RunRecord torn = run("car_two_mass_tip_in_2_torn_spring");
    CHECK(measure(torn, "flywheel_stop_contacts") >= 1.0);
    CHECK(measure(torn, "flywheel_twist_max") >
          1.3 * measure(run("car_two_mass_tip_in_2"), "flywheel_twist_max"));
}

TEST_CASE("a grown free angle lets the two masses swing wider when the engine stops") {
    CHECK(measure(run("car_two_mass_engine_stop_free_angle_grown"), "passage_flywheel_twist") >
          1.3 * measure(run("car_two_mass_engine_stop"), "passage_flywheel_twist"));
}

TEST_CASE("a torn torque rod slows the shuffle by a fifth to two fifths, half a disc by little") {
    const double sound = measure(run("car_on_mounts_tip_in_2"), "shuffle_frequency");
    const double torn = measure(run("car_on_mounts_tip_in_2_torn"), "shuffle_frequency");
    CHECK(torn < 0.8 * sound);
    CHECK(torn > 0.6 * sound);
    const double half_disc =
        measure(run("car_on_mounts_tip_in_2", {{"disc.stages[1].stiffness", "8.5 N m/deg"}}),
                "shuffle_frequency");
    CHECK(half_disc < sound);
    CHECK(half_disc > 0.92 * sound);
}

TEST_CASE("mounts take from the shuffle's frequency what they are in series with the shafts") {
    const Changes still = {{"mounts", "none"}};
    const double held = measure(run("car_on_mounts_tip_in_2", still), "shuffle_frequency");
    CHECK(measure(run("car_on_mounts_tip_in_2"), "shuffle_frequency") < 0.95 * held);
}

TEST_CASE("the block's roll at idle leaves gear rattle alone: it is not the clutch") {
    const RunRecord on_mounts = run("car_on_mounts_idle_hot");
    const RunRecord held = run("car_idle_hot");
    CHECK(measure(on_mounts, "transfer") ==
          doctest::Approx(measure(held, "transfer")).epsilon(0.005));
    // The block as a mass above its resonance: T/(J·(w² − w0²)), with the firing order's torque.
    CHECK(measure(on_mounts, "roll_rms") > 1e-4);
    CHECK(measure(run("car_on_mounts_idle_hot", {{"mounts.roll_inertia", "11 kg m2"}}),
                  "roll_rms") < 0.6 * measure(on_mounts, "roll_rms"));
}

TEST_CASE("a torn mount strikes its stop in a hard tip-in and the verdict looks at it") {
    const RunRecord torn = run("car_on_mounts_tip_in_2_torn", {{"manoeuvre.to", "110 N m"}});
    CHECK(measure(torn, "roll_stop_contacts") >= 1.0);
    const bool told = std::any_of(
        torn.verdict.reasons.begin(), torn.verdict.reasons.end(),
        [](const std::string& reason) { return reason.find("torque rod") != std::string::npos; });
    CHECK(told);
}
