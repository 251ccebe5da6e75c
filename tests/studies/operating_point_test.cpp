// SPDX-License-Identifier: MIT
#include "libdamper/studies/operating_point.hpp"

#include "libdamper/assemble/disc.hpp"
#include "libdamper/base/error.hpp"

#include "tests/support/near.hpp"
#include "tests/support/shipped.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <filesystem>
#include <numbers>
#include <string>

using namespace damper;
using damper::test::near;
using damper::test::shipped_scenario;

namespace {

std::string message_of(const Scenario& scenario, const OperatingSettings& settings) {
    try {
        (void)operating_point(scenario, settings);
    } catch (const InputError& error) {
        return error.what();
    }
    return "nothing was thrown";
}

double stiffness_of(const OperatingPoint& point, const std::string& element) {
    for (const LinearElement& e : point.linear.elements) {
        if (e.name == element) return e.stiffness;
    }
    FAIL("no element ", element);
    return 0.0;
}

constexpr double rpm = std::numbers::pi / 30.0;

}  // namespace

TEST_CASE("an operating point of every gear of every shipped scenario can be had") {
    std::size_t points = 0;
    for (const auto& entry :
         std::filesystem::directory_iterator(std::string(DAMPER_SOURCE_DIR) + "/scenarios")) {
        if (entry.path().extension() != ".toml") continue;
        const Scenario scenario = shipped_scenario(entry.path().stem().string());
        CAPTURE(scenario.name);
        for (const std::string& gear : gears_of(scenario)) {
            CAPTURE(gear);
            const OperatingPoint point = operating_point(scenario, {.gear = gear});
            CHECK(point.gear == gear);
            CHECK(point.disc_stiffness > 0.0);
            CHECK((point.assembled.vehicle >= 0) == (gear != neutral));
            CHECK(point.linear.mass.size() ==
                  static_cast<Eigen::Index>(point.assembled.line.masses.size()));
            ++points;
        }
    }
    CHECK(points > 200);
}

TEST_CASE("a stage asked for gives the disc the stiffness that the description gives the stage") {
    for (const char* name : {"car_idle_hot", "car_idle_cold_three_stage", "van_idle_stuck_stage",
                             "heavy_truck_idle_hot"}) {
        CAPTURE(name);
        const Scenario scenario = shipped_scenario(name);
        const std::vector<StageCorners> corners = stage_corners(scenario.vehicle.disc);
        for (std::size_t s = 0; s < corners.size(); ++s) {
            for (const char* gear : {neutral, "2"}) {
                CAPTURE(s);
                CAPTURE(gear);
                const int stage = static_cast<int>(s) + 1;
                const OperatingPoint point =
                    operating_point(scenario, {.gear = gear, .stage = stage});
                CHECK(point.stage == stage);
                CHECK(point.stage_asked);
                CHECK(point.stage_name == scenario.vehicle.disc.stages[s].name);
                // Stops and seats of the other stages in series: sums of a handful of reciprocals.
                CHECK(point.disc_stiffness == near(corners[s].drive_stiffness, 1e-12));
            }
        }
    }
}

TEST_CASE("the torque decides which stage of the disc moves, and on which side") {
    const Scenario scenario = shipped_scenario("car_tip_in_2");
    const std::vector<StageCorners> corners = stage_corners(scenario.vehicle.disc);
    REQUIRE(corners.size() == 2);
    const OperatingPoint pull = operating_point(scenario, {.torque = 80.0});
    CHECK(pull.stage == 2);
    CHECK(pull.disc_torque > corners[1].drive_start_torque);
    CHECK(pull.disc_torque < 80.0);
    CHECK(pull.torque == 80.0);
    CHECK(!pull.stage_asked);
    const OperatingPoint push = operating_point(scenario, {.torque = -15.0});
    CHECK(push.disc_torque < 0.0);
    const OperatingPoint little = operating_point(scenario, {.torque = 1.0});
    CHECK(little.stage == 1);
}

TEST_CASE("an idle vehicle can be looked at in gear and a driven one in neutral") {
    const Scenario idle = shipped_scenario("car_idle_hot");
    const Engine& engine = idle.vehicle.engine;
    CHECK(operating_point(idle).gear == "neutral");
    const OperatingPoint third = operating_point(idle, {.gear = "3"});
    CHECK(third.speed == near(3.0 * engine.idle_speed.si(), 1e-15));
    CHECK(third.torque == near(0.5 * engine.peak_torque.si(), 1e-15));

    const Scenario driven = shipped_scenario("car_tip_in_2");
    CHECK(operating_point(driven).gear == "2");
    CHECK(operating_point(driven).torque == torque_change_of(driven.manoeuvre)->to.si());
    const OperatingPoint standing = operating_point(driven, {.gear = "neutral"});
    CHECK(standing.assembled.vehicle == -1);
    CHECK(standing.speed == near(driven.vehicle.engine.idle_speed.si(), 1e-15));
    CHECK(operating_point(driven, {.speed = 3000.0 * rpm}).speed == near(3000.0 * rpm, 1e-15));
}

TEST_CASE("loose gears lean on a tooth by their drag, and are free without it") {
    const Scenario scenario = shipped_scenario("car_idle_hot");
    const double tooth = scenario.vehicle.gearbox.mesh_stiffness.si();
    CHECK(stiffness_of(operating_point(scenario), "gear 3 loose") == tooth);
    const Scenario dry =
        shipped_scenario("car_idle_hot", {{"vehicle.gearbox.gears[2].drag_constant", "0 N m"},
                                          {"vehicle.gearbox.gears[2].drag_viscous", "0 N m"}});
    CHECK(stiffness_of(operating_point(dry), "gear 3 loose") == 0.0);
}

TEST_CASE("friction that sticks stiffens the disc; a clutch that slips past does not hold") {
    const Scenario scenario = shipped_scenario("car_idle_hot");
    const double slips = operating_point(scenario).disc_stiffness;
    const double sticks = operating_point(scenario, {.friction = Friction::sticks}).disc_stiffness;
    CHECK(sticks > 5.0 * slips);
    const Scenario released = shipped_scenario("car_idle_pedal_down");
    const OperatingPoint down = operating_point(released, {.friction = Friction::sticks});
    CHECK(stiffness_of(down, "released clutch") == 0.0);
}

TEST_CASE("stiffness and damping are the sums over the elements") {
    const OperatingPoint point = operating_point(shipped_scenario("heavy_truck_tip_in_3"));
    Eigen::MatrixXd k = Eigen::MatrixXd::Zero(point.linear.mass.size(), point.linear.mass.size());
    Eigen::MatrixXd c = k;
    for (const LinearElement& e : point.linear.elements) {
        k += e.stiffness * e.row * e.row.transpose();
        c += e.damping * e.row * e.row.transpose();
    }
    CHECK(k == point.linear.stiffness);
    CHECK(c == point.linear.damping);
}

TEST_CASE("what cannot be looked at is refused in words that mend it") {
    const Scenario scenario = shipped_scenario("car_tip_in_2");
    CHECK(message_of(scenario, {.gear = "neutrl"}) ==
          "no gear \"neutrl\"; expected one of neutral, 1, 2, 3, 4, 5, R; did you mean neutral?");
    CHECK(message_of(scenario, {.stage = 3}) ==
          "the disc has no stage 3; expected 1 (idle) or 2 (main)");
    CHECK(message_of(scenario, {.stage = -1}).starts_with("the disc has no stage -1"));
    CHECK(
        message_of(scenario, {.speed = 1.0}).ends_with("9.549 rpm; expected 200 rpm to 10000 rpm"));
    CHECK(message_of(scenario, {.torque = std::nan("")})
              .ends_with("expected -5000 N m to 10000 N m"));
    const Scenario gripping = shipped_scenario("car_tip_in_2", {{"vehicle.tyre.grip", "0.9"}});
    CHECK(message_of(gripping, {.gear = "1", .torque = 9000.0})
              .starts_with("in gear 1 there is no steady state to look at: "));
}
