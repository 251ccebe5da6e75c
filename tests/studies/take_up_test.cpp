// SPDX-License-Identifier: MIT
// Take-ups of whole vehicles: both solvers, heat against the energy book and the closed form, what
// each fault of the clutch does.
#include "libdamper/base/error.hpp"
#include "libdamper/studies/measure_one.hpp"
#include "libdamper/studies/run_one.hpp"

#include "tests/support/near.hpp"
#include "tests/support/shipped.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <string>
#include <vector>

using namespace damper;
using namespace damper::test;

namespace {

double value(const std::vector<MeasureValue>& measures, const std::string& name) {
    const auto found = std::ranges::find(measures, name, &MeasureValue::name);
    REQUIRE_MESSAGE(found != measures.end(), name);
    return found->value;
}

double heat_of(const EnergyBook& book, const std::string& element) {
    const auto found = std::ranges::find(book.entries, element, &EnergyBook::Entry::element);
    REQUIRE(found != book.entries.end());
    return found->dissipated;
}

const char* const all[] = {
    "car_take_up_1",          "car_take_up_1_glazed",       "car_take_up_1_rising",
    "car_take_up_1_runout",   "car_take_up_1_slow",         "van_take_up_1_hill",
    "medium_truck_take_up_2", "heavy_truck_take_up_2_hill", "heavy_truck_take_up_2_twin"};

}  // namespace

TEST_CASE("the heat of a take-up is that of the energy book, and the book balances") {
    for (const char* name : all) {
        CAPTURE(name);
        const MeasuredRun run = measure_one(shipped_scenario(name), RunSettings{});
        CHECK(run.solver.complete);
        CHECK(run.energy.residual() < 1e-9);
        CHECK(value(run.measured.measures, "clutch_sticks") == 1.0);
        // Samples every 0.2 or 0.5 ms against the solver's own sum.
        CHECK(value(run.measured.measures, "slip_energy") ==
              near(heat_of(run.energy, "clutch faces"), 2e-3));
    }
}

TEST_CASE("both solvers take a vehicle up alike") {
    for (const char* name :
         {"car_take_up_1", "car_take_up_1_runout", "heavy_truck_take_up_2_hill"}) {
        CAPTURE(name);
        const MeasuredRun exact = measure_one(shipped_scenario(name), RunSettings{});
        const MeasuredRun general =
            measure_one(shipped_scenario(name), RunSettings{.solver = "general"});
        CHECK(general.energy.residual() < 1e-6);
        // Loose gears rattle, so that paths part; what the clutch does is not moved by it.
        for (const char* measure : {"slip_time", "slip_energy", "slip_power_peak"}) {
            CAPTURE(measure);
            CHECK(value(exact.measured.measures, measure) ==
                  near(value(general.measured.measures, measure), 0.01));
        }
        CHECK(value(exact.measured.measures, "judder_acceleration") ==
              near(value(general.measured.measures, "judder_acceleration"), 0.05));
    }
}

TEST_CASE("faces are found stuck without chatter") {
    for (const char* name : all) {
        CAPTURE(name);
        const RunRecord record = run_one(shipped_scenario(name), RunSettings{});
        const auto faces = std::ranges::find(record.events.elements, "clutch faces");
        REQUIRE(faces != record.events.elements.end());
        const auto element = static_cast<int>(faces - record.events.elements.begin());
        const auto changes =
            std::ranges::count(record.events.changes, element, &ModeChange::element);
        // Firings catch and tear the faces some times as the slip ends, a judder in each period.
        CHECK(changes >= 1);
        CHECK(changes < 60);
    }
}

TEST_CASE("slip energy follows the closed form where the clutch torque stays the same") {
    // V. B. Bhandari, Design of Machine Elements, chapter 11 (energy of engagement), the engine
    // held: t = J·Δω/(T − T_load), Q = ½·T·Δω·t. The held speed gives way by T over the governor's
    // slope; springs and the swing that a torque at once makes leave a few per cent.
    const Scenario scenario =
        shipped_scenario("car_take_up_1", {{"manoeuvre.engage_time", "1 ms"},
                                           {"manoeuvre.clamp", "0.25"},
                                           {"manoeuvre.course", "[]"},
                                           {"manoeuvre.governor", "12 N m s/rad"},
                                           {"manoeuvre.length", "6 s"}});
    const MeasuredRun run = measure_one(scenario, RunSettings{});
    const double torque = 0.25 * run.facts.clutch.capacity;
    const Vehicle& car = scenario.vehicle;
    const double ratio = 3.55 * car.axle.final_drive.si();
    const double r = car.tyre.rolling_radius.si();
    const double wheels = 2.0 * (car.tyre.rim_inertia.si() + car.tyre.belt_inertia.si());
    const double inertia =
        car.disc.facing_inertia.si() + car.disc.hub_inertia.si() + car.gearbox.input_inertia.si() +
        (car.body.mass.si() * r * r + wheels + car.axle.differential_inertia.si()) /
            (ratio * ratio) +
        car.gearbox.output_inertia.si() / (3.55 * 3.55);
    const double load =
        car.tyre.rolling_resistance.si() * car.body.mass.si() * 9.80665 * r / ratio +
        car.gearbox.shaft_drag_constant.si() + car.axle.drag.si() / ratio;
    const double slip = run.facts.clutch.held_speed - torque / 12.0;
    const double time = inertia * slip / (torque - load);
    CHECK(value(run.measured.measures, "slip_time") == near(time, 0.05));
    CHECK(value(run.measured.measures, "slip_energy") == near(0.5 * torque * slip * time, 0.05));
}

TEST_CASE(
    "uneven faces make a judder that turns with the slip; falling friction one that does not") {
    const MeasuredRun crooked =
        measure_one(shipped_scenario("car_take_up_1_runout"), RunSettings{});
    const MeasuredRun glazed = measure_one(shipped_scenario("car_take_up_1_glazed"), RunSettings{});
    CHECK(value(crooked.measured.measures, "slip_order_share") > 0.6);
    CHECK(value(glazed.measured.measures, "slip_order_share") < 0.5);
    CHECK(value(crooked.measured.measures, "shaft_order_share") < 0.4);
    CHECK(value(glazed.measured.measures, "shaft_order_share") < 0.4);
    const MeasuredRun askew = measure_one(
        shipped_scenario("car_take_up_1", {{"facing.shaft_modulation", "0.15"}}), RunSettings{});
    CHECK(value(askew.measured.measures, "shaft_order_share") > 0.5);
    CHECK(value(askew.measured.measures, "slip_order_share") < 0.4);
    CHECK(value(crooked.measured.measures, "judder_margin") == near(1.0, 1e-9));
    CHECK(value(glazed.measured.measures, "judder_margin") < 0.0);
    // Half as uneven, clearly less judder; not half, since the disc's friction takes a part.
    const MeasuredRun half =
        measure_one(shipped_scenario("car_take_up_1_runout", {{"facing.slip_modulation", "0.06"}}),
                    RunSettings{});
    CHECK(value(crooked.measured.measures, "slip_order_acceleration") >
          1.5 * value(half.measured.measures, "slip_order_acceleration"));
}

TEST_CASE("friction judder keeps its frequency whatever the engine speed, forward and in reverse") {
    // The discriminator of the trade: friction locks on the driveline, uneven faces follow the slip
    // (common practice, no source).
    const auto frequency = [](const char* gear, const char* speed) {
        const MeasuredRun run =
            measure_one(shipped_scenario("car_take_up_1_glazed",
                                         {{"manoeuvre.gear", gear}, {"manoeuvre.speed", speed}}),
                        RunSettings{});
        CHECK(value(run.measured.measures, "slip_order_share") < 0.5);
        CHECK(value(run.measured.measures, "judder_acceleration") > 0.5);
        return value(run.measured.measures, "judder_frequency");
    };
    const double forward = frequency("1", "1200 rpm");
    CHECK(forward > 8.0);
    CHECK(forward < 14.0);
    CHECK(frequency("1", "1800 rpm") == near(forward, 0.06));
    CHECK(frequency("R", "1200 rpm") == near(forward, 0.06));
}

TEST_CASE("verdicts name the cause in the trade's words") {
    const auto says = [](const char* name, const char* text) {
        const RunRecord record = run_one(shipped_scenario(name), RunSettings{});
        std::string all_words = record.verdict.headline;
        for (const std::string& reason : record.verdict.reasons) all_words += "\n" + reason;
        CAPTURE(all_words);
        CHECK(all_words.find(text) != std::string::npos);
        return record.verdict.grade;
    };
    CHECK(says("car_take_up_1", "A smooth take-up") == Grade::good);
    CHECK(says("car_take_up_1_glazed", "Friction judder") == Grade::bad);
    CHECK(says("car_take_up_1_glazed", "look for glazed or oily facings") == Grade::bad);
    CHECK(says("car_take_up_1_runout", "Geometric judder") == Grade::bad);
    CHECK(says("car_take_up_1_slow", "slips too long") == Grade::bad);
    CHECK(says("car_take_up_3_stall", "The engine stalls") == Grade::bad);
}

TEST_CASE("a stall ends the run with a verdict") {
    const RunRecord record = run_one(shipped_scenario("car_take_up_3_stall"), RunSettings{});
    CHECK(record.solver.complete);
    CHECK(record.solver.end_time < 1.0);
    CHECK(record.verdict.grade == Grade::bad);
    CHECK(value(record.measures, "engine_dip") < 0.01);
}

TEST_CASE("on a hill the vehicle waits for the clutch, or rolls back without the brake") {
    const auto lowest = [](Changes changes) {
        const RunRecord record =
            run_one(shipped_scenario("van_take_up_1_hill", std::move(changes)), RunSettings{});
        return *std::ranges::min_element(record.signals.at("vehicle_speed").values);
    };
    CHECK(lowest({}) > -1e-6);
    CHECK(lowest({{"manoeuvre.brake", "off"}}) < -0.3);
}

TEST_CASE("clamp load by release travel goes through cover and cushion") {
    const RunRecord record = run_one(shipped_scenario("van_take_up_1_hill"), RunSettings{});
    const std::vector<double>& clamp = record.signals.at("clutch_clamp").values;
    CHECK(clamp.front() == 0.0);
    // With the pedal up all of it.
    const MeasuredRun run = measure_one(shipped_scenario("van_take_up_1_hill"), RunSettings{});
    CHECK(clamp.back() == near(run.facts.clutch.full_clamp, 1e-9));
    CHECK(std::ranges::is_sorted(clamp));
}

TEST_CASE("two plates hold twice as much as one") {
    const MeasuredRun one = measure_one(shipped_scenario("medium_truck_take_up_2"), RunSettings{});
    const MeasuredRun two =
        measure_one(shipped_scenario("heavy_truck_take_up_2_twin"), RunSettings{});
    // The same faces under the same spring, but for the cushion of two discs.
    CHECK(two.facts.clutch.face_area == near(2.0 * one.facts.clutch.face_area, 1e-12));
    CHECK(two.facts.clutch.capacity == near(2.0 * one.facts.clutch.capacity, 0.01));
    CHECK(two.facts.clutch.plates.size() == 3);
}

TEST_CASE("friction over slip speed and a gradient mean the same where they say the same") {
    const MeasuredRun gradient =
        measure_one(shipped_scenario("car_take_up_1", {{"facing.friction_gradient", "-0.007 s/m"}}),
                    RunSettings{});
    // Friction 0.28 falls to half at 20 m/s.
    const MeasuredRun table = measure_one(
        shipped_scenario("car_take_up_1",
                         {{"facing.slip_friction", "[ { speed = \"20 m/s\", factor = 0.5 } ]"}}),
        RunSettings{});
    for (const char* measure : {"slip_time", "slip_energy", "judder_margin", "friction_gradient"}) {
        CAPTURE(measure);
        CHECK(value(gradient.measured.measures, measure) ==
              near(value(table.measured.measures, measure), 1e-3));
    }
}
