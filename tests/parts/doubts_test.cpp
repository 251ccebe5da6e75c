// SPDX-License-Identifier: MIT
#include "libdamper/parts/check.hpp"

#include <doctest/doctest.h>
#include <functional>
#include <numbers>
#include <string>

using namespace damper;

namespace {

constexpr double degree = std::numbers::pi / 180.0;
constexpr double rpm = std::numbers::pi / 30.0;

DiscStage stage(const char* name, double per_degree, double end, double hysteresis) {
    DiscStage made;
    made.name = name;
    made.stiffness = Stiffness::from_si(per_degree / degree);
    made.drive_end = made.coast_end = Angle::from_si(end * degree);
    made.hysteresis = Torque::from_si(hysteresis);
    return made;
}

/// Stops at 6·0.3 + 14·20 = 281.8 N m.
Vehicle sound_vehicle() {
    Vehicle vehicle;
    vehicle.disc.stages = {stage("idle", 0.3, 6.0, 0.4), stage("main", 20.0, 20.0, 15.0)};
    vehicle.engine.peak_torque = Torque::from_si(200.0);
    vehicle.engine.idle_speed = AngularSpeed::from_si(800.0 * rpm);
    vehicle.gearbox.gears.resize(2);
    for (GearPair& gear : vehicle.gearbox.gears) gear.backlash = Length::from_si(1e-4);
    vehicle.gearbox.gears[1].name = std::string("R");
    return vehicle;
}

std::vector<std::string> after(const std::function<void(Vehicle&)>& change) {
    Vehicle vehicle = sound_vehicle();
    change(vehicle);
    return doubts(vehicle);
}

void check_one(const std::function<void(Vehicle&)>& change, const std::string& piece) {
    const auto said = after(change);
    CAPTURE(piece);
    REQUIRE(said.size() == 1);
    CHECK(said[0].find(piece) != std::string::npos);
}

}  // namespace

TEST_CASE("a sound vehicle raises no doubt") {
    CHECK(doubts(sound_vehicle()).empty());
    CHECK(after([](Vehicle& v) { v.disc.stages[0].hysteresis = Torque::from_si(0.0); }).empty());
}

TEST_CASE("each value that looks like a slip raises its own doubt") {
    check_one([](Vehicle& v) { v.engine.idle_speed = AngularSpeed::from_si(390.0 * rpm); },
              "390 rpm");
    check_one([](Vehicle& v) { v.engine.idle_speed = AngularSpeed::from_si(1510.0 * rpm); },
              "1510 rpm");
    check_one([](Vehicle& v) { v.gearbox.gears[1].backlash = Length::from_si(1.1e-3); },
              "gear \"R\" has a backlash of 1.1 mm");
    check_one([](Vehicle& v) { v.disc.stages[0].hysteresis = Torque::from_si(0.005); },
              "\"idle\" of the disc has a hysteresis");
    check_one([](Vehicle& v) { v.disc.stages[0].stiffness = Stiffness::from_si(25.0 / degree); },
              "\"main\" of the disc is softer");
    check_one([](Vehicle& v) { v.engine.peak_torque = Torque::from_si(283.0); }, "about 282 N m");
}

TEST_CASE("a main stage in N m/rad by mistake is recognised") {
    const auto said =
        after([](Vehicle& v) { v.disc.stages[1].stiffness = Stiffness::from_si(20.0); });
    REQUIRE(said.size() >= 1);
    CHECK(said[0].find("was N m/rad meant?") != std::string::npos);
}
