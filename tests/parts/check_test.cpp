// SPDX-License-Identifier: MIT
#include "libdamper/parts/check.hpp"

#include "libdamper/parts/top_speed.hpp"
#include "libdamper/scenario/check.hpp"

#include <doctest/doctest.h>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

using namespace damper;

namespace {

Angle degrees(double value) {
    return Angle::from_si(value * std::numbers::pi / 180.0);
}

DiscStage stage(double stiffness, double drive_end, double coast_end) {
    DiscStage made;
    made.stiffness = Stiffness::from_si(stiffness);
    made.drive_end = degrees(drive_end);
    made.coast_end = degrees(coast_end);
    made.hysteresis = Torque::from_si(1.0);
    made.friction_factor = Ratio::from_si(1.0);
    return made;
}

Disc good_disc() {
    Disc disc;
    disc.assembly = "lumped";
    disc.stages = {stage(30.0, 6.0, 4.0), stage(1000.0, 20.0, 14.0)};
    disc.stop_stiffness = Stiffness::from_si(10000.0);
    return disc;
}

Engine good_engine() {
    Engine engine;
    engine.torque = "cylinder pressure";
    engine.cylinders = 4;
    engine.firing_order = {1, 3, 4, 2};
    engine.bore = Length::from_si(0.08);
    engine.stroke = Length::from_si(0.08);
    engine.rod_length = Length::from_si(0.135);
    engine.compression_ratio = Ratio::from_si(10.0);
    engine.reciprocating_mass = Mass::from_si(0.5);
    engine.combustion.intake_pressure = Pressure::from_si(35e3);
    engine.combustion.full_pressure = Pressure::from_si(1e5);
    engine.combustion.duration = degrees(55.0);
    return engine;
}

Gearbox good_gearbox() {
    Gearbox gearbox;
    for (const std::string name : {"1", "2"}) {
        GearPair gear;
        gear.name = name;
        gear.backlash = Length::from_si(1e-4);
        gear.pitch_radius = Length::from_si(0.05);
        gearbox.gears.push_back(gear);
    }
    return gearbox;
}

Scenario tip_in() {
    Scenario scenario;
    scenario.vehicle.gearbox = good_gearbox();
    TipIn change;
    change.gear = "2";
    change.to = Torque::from_si(100.0);
    change.start = Time::from_si(0.5);
    change.length = Time::from_si(2.5);
    scenario.manoeuvre = change;
    scenario.recording.step = Time::from_si(50e-6);
    return scenario;
}

/// The only finding names this key.
template <class Part>
void check_one(const Part& part, const std::string& key, const std::string& text = "") {
    CAPTURE(key);
    const auto findings = check(part);
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].key == key);
    CHECK(findings[0].place.file.empty());
    CHECK((findings[0].found + findings[0].expected).find(text) != std::string::npos);
}

}  // namespace

TEST_CASE("sound parts have no findings") {
    CHECK(check(good_disc()).empty());
    CHECK(check(good_engine()).empty());
    CHECK(check(good_gearbox()).empty());
    CHECK(check(Axle{}).empty());
    CHECK(check(tip_in()).empty());
}

TEST_CASE("each stage ends further out than the one before, on both sides") {
    Disc disc = good_disc();
    disc.stages[1].drive_end = degrees(6.0);
    check_one(disc, "stages[1].drive_end", "stages[0] ends at 6 deg");
    disc = good_disc();
    disc.stages[1].coast_end = degrees(3.9);
    check_one(disc, "stages[1].coast_end");
    disc.stages.clear();
    check_one(disc, "stages");
}

TEST_CASE("stops are at least as stiff as every stage on either side") {
    Disc disc = good_disc();
    disc.stop_stiffness = Stiffness::from_si(999.0);
    check_one(disc, "stop_stiffness");
    disc.stop_stiffness = Stiffness::from_si(1000.0);
    CHECK(check(disc).empty());
    disc.stages[0].coast_stiffness = Stiffness::from_si(1001.0);
    check_one(disc, "stop_stiffness", "stages[0]");
}

TEST_CASE("fewer springs are broken than there are") {
    Disc disc = good_disc();
    disc.stages[1].springs_broken = 1;
    check_one(disc, "stages[1].springs_broken", "unknown number");
    disc.stages[1].springs = 2;
    CHECK(check(disc).empty());
    disc.stages[1].springs = 1;
    check_one(disc, "stages[1].springs_broken", "1 of 1");
}

TEST_CASE("friction play is less than the travel of its stage") {
    Disc disc = good_disc();
    disc.stages[1].friction_play = degrees(23.9);  // travel: 14 deg and 10 deg
    CHECK(check(disc).empty());
    disc.stages[1].friction_play = degrees(24.1);
    check_one(disc, "stages[1].friction_play", "24 deg");
}

TEST_CASE("a disc in series has a flange") {
    Disc disc = good_disc();
    disc.assembly = "series";
    check_one(disc, "flange_inertia");
    disc.flange_inertia = Inertia::from_si(1e-4);
    CHECK(check(disc).empty());
}

TEST_CASE("the firing order names each cylinder once") {
    Engine engine = good_engine();
    engine.firing_order = {1, 3, 3, 2};
    check_one(engine, "firing_order[2]", "a second time");
    engine.firing_order = {1, 3, 5, 2};
    check_one(engine, "firing_order[2]", "cylinder 5 of 4");
    engine.firing_order = {0, 3, 4, 2};
    check_one(engine, "firing_order[0]");
    engine.firing_order = {1, 3, 2};
    check_one(engine, "firing_order", "3 entries for 4 cylinders");
}

TEST_CASE("firing intervals add up to two turns and gains have one entry per cylinder") {
    Engine engine = good_engine();
    engine.firing_intervals = {degrees(170), degrees(190), degrees(180), degrees(180)};
    CHECK(check(engine).empty());
    engine.firing_intervals[0] = degrees(171);
    check_one(engine, "firing_intervals", "721 deg");
    engine.firing_intervals.pop_back();
    check_one(engine, "firing_intervals", "3 entries");
    engine.firing_intervals.clear();
    engine.cylinder_gains = {Ratio::from_si(1.0)};
    check_one(engine, "cylinder_gains", "1 entries for 4 cylinders");
}

TEST_CASE("cylinder pressure needs the geometry, harmonics need a list") {
    Engine engine = good_engine();
    engine.bore = {};
    check_one(engine, "bore");
    engine = good_engine();
    engine.combustion = {};
    check_one(engine, "combustion");
    engine = good_engine();
    engine.torque = "harmonics";
    check_one(engine, "harmonics");
    engine.bore = {};  // no longer needed
    engine.harmonics = {{Ratio::from_si(2.0), Torque::from_si(10.0), {}}};
    CHECK(check(engine).empty());
    engine.harmonics[0].order = Ratio::from_si(2.25);
    check_one(engine, "harmonics[0].order", "2.25");
}

TEST_CASE("the rod is longer than the crank and full load has more air than idle") {
    Engine engine = good_engine();
    engine.rod_length = Length::from_si(0.04);
    check_one(engine, "rod_length", "40 mm");
    engine = good_engine();
    engine.combustion.full_pressure = Pressure::from_si(30e3);
    check_one(engine, "combustion.full_pressure");
}

TEST_CASE("oil is thinner when hot") {
    Oil oil;
    oil.viscosity_40 = KinematicViscosity::from_si(36e-6);
    oil.viscosity_100 = KinematicViscosity::from_si(7e-6);
    CHECK(check(oil).empty());
    std::swap(oil.viscosity_40, oil.viscosity_100);
    check_one(oil, "viscosity_100");
    oil.viscosity_100 = oil.viscosity_40;
    check_one(oil, "viscosity_100");
}

TEST_CASE("gears have names of their own and little backlash") {
    Gearbox gearbox = good_gearbox();
    gearbox.gears[1].name = gearbox.gears[0].name;
    check_one(gearbox, "gears[1].name", "gears[0]");
    gearbox.gears[1].name.clear();
    check_one(gearbox, "gears[1].name", "an empty name");
    gearbox = good_gearbox();
    gearbox.gears[0].backlash = gearbox.gears[0].pitch_radius;
    check_one(gearbox, "gears[0].backlash");
    gearbox.gears.clear();
    check_one(gearbox, "gears");
}

TEST_CASE("an engine's top speed is above its idle speed") {
    Engine engine = good_engine();
    engine.idle_speed = AngularSpeed::from_si(80.0);
    CHECK(check(engine).empty());
    engine.top_speed = AngularSpeed::from_si(80.0);
    check_one(engine, "top_speed", "idle_speed");
    engine.top_speed = AngularSpeed::from_si(80.1);
    CHECK(check(engine).empty());
}

TEST_CASE("the top speed is the engine's own, else that of the class") {
    Vehicle vehicle;
    const std::vector<std::pair<std::string, double>> usual = {
        {"car", 6000.0}, {"light van", 4500.0}, {"medium truck", 2800.0}, {"heavy truck", 2200.0}};
    for (const auto& [name, rpm] : usual) {
        CAPTURE(name);
        vehicle.vehicle_class = name;
        vehicle.engine.top_speed = {};
        CHECK(top_speed_of(vehicle).si() == doctest::Approx(rpm * std::numbers::pi / 30.0));
        vehicle.engine.top_speed = AngularSpeed::from_si(300.0);
        CHECK(top_speed_of(vehicle).si() == 300.0);
    }
}

TEST_CASE("a propshaft has an inertia") {
    Axle axle;
    axle.propshaft_stiffness = Stiffness::from_si(2e4);
    check_one(axle, "propshaft_inertia");
    axle.propshaft_inertia = Inertia::from_si(0.01);
    CHECK(check(axle).empty());
}

TEST_CASE("a manoeuvre in gear names a gear of the gearbox") {
    Scenario scenario = tip_in();
    std::get<TipIn>(scenario.manoeuvre).gear = std::string("3");
    check_one(scenario, "manoeuvre.gear", "1, 2");
}

TEST_CASE("the run goes on after settling and after the change begins") {
    Scenario scenario = tip_in();
    std::get<TipIn>(scenario.manoeuvre).start = Time::from_si(2.5);
    check_one(scenario, "manoeuvre.length", "start");
    Idle idle;
    idle.settle = Time::from_si(1.0);
    idle.length = Time::from_si(1.0);
    scenario.manoeuvre = idle;
    check_one(scenario, "manoeuvre.length", "settle");
}

TEST_CASE("torque rises at a tip in and falls at a back out") {
    Scenario scenario = tip_in();
    std::get<TipIn>(scenario.manoeuvre).to = Torque::from_si(-1.0);
    check_one(scenario, "manoeuvre.to");
    const TorqueChange falling = std::get<TipIn>(scenario.manoeuvre);
    scenario.manoeuvre = BackOut{falling};
    CHECK(check(scenario).empty());
    std::get<BackOut>(scenario.manoeuvre).to = Torque::from_si(1.0);
    check_one(scenario, "manoeuvre.to");
}

TEST_CASE("a recording fits into memory") {
    Scenario scenario = tip_in();
    scenario.recording.step = Time::from_si(1e-8);
    check_one(scenario, "recording.step");
}
