// SPDX-License-Identifier: MIT
#include "libdamper/studies/find_modes.hpp"

#include "libdamper/assemble/assemble.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/studies/mode_names.hpp"

#include "tests/support/near.hpp"
#include "tests/support/shipped.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <numeric>
#include <string>

using namespace damper;
using damper::test::near;
using damper::test::shipped_scenario;

namespace {

constexpr double rpm = std::numbers::pi / 30.0;

const ModeRow& named(const GearModes& gear, const std::string& name) {
    const auto found = std::ranges::find(gear.modes, name, &ModeRow::name);
    REQUIRE_MESSAGE(found != gear.modes.end(), "gear " << gear.gear << " has no " << name);
    return *found;
}

double influence(const GearModes& gear, std::size_t mode, const std::string& what) {
    const auto& list = gear.influences[mode];
    const auto found = std::ranges::find(list, what, &ModeInfluence::what);
    REQUIRE_MESSAGE(found != list.end(), "nothing said of " << what);
    return found->per_tenth;
}

double first_frequency(const Scenario& scenario, const std::string& gear) {
    ModesSettings settings;
    settings.gears = {gear};
    return find_modes(scenario, settings).gears[0].modes[0].frequency;
}

}  // namespace

TEST_CASE("neutral and every gear are in the record, with lists that fit together") {
    for (const char* name : {"car_idle_hot", "van_idle_hot", "heavy_truck_tip_in_3"}) {
        const Scenario scenario = shipped_scenario(name);
        const ModesRecord record = find_modes(scenario);
        CAPTURE(name);
        REQUIRE(record.gears.size() == scenario.vehicle.gearbox.gears.size() + 1);
        CHECK(record.gears[0].gear == "neutral");
        for (const GearModes& gear : record.gears) {
            CAPTURE(gear.gear);
            REQUIRE(gear.influences.size() == gear.modes.size());
            CHECK(static_cast<std::size_t>(gear.rigid_bodies) + gear.modes.size() <=
                  gear.inertias.size());
            for (const ModeRow& mode : gear.modes) {
                REQUIRE(mode.shape.size() == gear.inertias.size());
                REQUIRE(mode.strain_share.size() == gear.elements.size());
                REQUIRE(mode.damping_share.size() == gear.elements.size());
                double modal = 0.0;
                double largest = 0.0;
                for (std::size_t i = 0; i < mode.shape.size(); ++i) {
                    modal += gear.inertias[i].inertia * mode.shape[i] * mode.shape[i];
                    largest = std::max(largest, std::abs(mode.shape[i]));
                }
                CHECK(largest == near(1.0, 1e-14));
                CHECK(modal == near(mode.modal_inertia, 1e-12));
                const double damping =
                    std::accumulate(mode.damping_share.begin(), mode.damping_share.end(), 0.0);
                if (mode.damped_frequency > 0.0) CHECK(damping == near(mode.damping_ratio, 1e-9));
            }
        }
    }
}

TEST_CASE("the first mode in gear is the shuffle, and it rises from gear to gear") {
    // In gear i the engine weighs i² at the wheels: the lower the ratio the higher the shuffle.
    for (const char* name :
         {"car_tip_in_2", "van_idle_hot", "medium_truck_idle_hot", "heavy_truck_tip_in_3"}) {
        CAPTURE(name);
        const ModesRecord record = find_modes(shipped_scenario(name));
        for (const GearModes& a : record.gears) {
            if (a.gear == "neutral") continue;
            CHECK_MESSAGE(a.modes[0].name.starts_with("shuffle"), a.gear, ": ", a.modes[0].name);
            for (const GearModes& b : record.gears) {
                if (b.gear == "neutral" || !(std::abs(a.ratio) > std::abs(b.ratio))) continue;
                CHECK(a.modes[0].frequency < b.modes[0].frequency);
            }
        }
        CHECK(record.gears[0].modes[0].name.starts_with("input shaft on the disc, idle stage"));
    }
}

TEST_CASE("names follow the energy, stage by stage") {
    const Scenario scenario = shipped_scenario("car_tip_in_2");
    ModesSettings settings;
    settings.gears = {"2"};
    const GearModes main = find_modes(scenario, settings).gears[0];
    CHECK(named(main, "shuffle").frequency < 10.0);
    CHECK(named(main, "wheels, left against right").kinetic_share.size() == main.inertias.size());
    CHECK(named(main, "wheels on their tyres").frequency > 20.0);
    CHECK(named(main, "input shaft on the disc, main stage").frequency > 40.0);
    CHECK(named(main, "gear 2 teeth").frequency > 500.0);
    CHECK(named(main, "final drive teeth").frequency > 500.0);
    CHECK(named(main, "loose gear 1 on its teeth").frequency > 1000.0);
    settings.point.stage = 1;
    const GearModes idle = find_modes(scenario, settings).gears[0];
    CHECK(idle.stage_asked);
    CHECK(idle.modes[0].name == "shuffle on the disc, idle stage");
    CHECK(idle.modes[0].frequency < main.modes[0].frequency);
    const GearModes truck = find_modes(shipped_scenario("heavy_truck_tip_in_3")).gears[3];
    CHECK(named(truck, "propshaft").frequency > 100.0);
}

TEST_CASE("a mode without half its energy anywhere has no name") {
    GearModes gear;
    gear.gear = "1";
    gear.ratio = 3.0;
    gear.disc_stage = "main";
    gear.inertias = {{"engine", 1.0, 1.0}, {"input shaft", 1.0, 1.0}, {"vehicle", 1.0, 0.3}};
    gear.elements = {{"disc", 1.0, 0.0, {}}, {"half shaft left", 1.0, 0.0, {}}};
    ModeRow mode;
    mode.frequency = 5.0;
    mode.shape = {1.0, 0.0, -1.0};
    mode.kinetic_share = {0.5, 0.2, 0.3};
    mode.strain_share = {0.3, 0.7};
    mode.change_by_stiffness = {0.75, 1.75};
    mode.change_by_inertia = {-1.25, -0.5, -0.75};
    gear.modes = {mode};
    CHECK(mode_name(gear, 0) == "shuffle");
    gear.modes[0].strain_share = {0.49, 0.49};
    CHECK(mode_name(gear, 0) == "");
    gear.modes[0].strain_share = {0.3, 0.7};
    gear.modes[0].shape = {1.0, 0.0, 1.0};  // engine and vehicle together: no shuffle
    CHECK(mode_name(gear, 0) == "");
    gear.modes[0].shape = {1.0, 0.0, -1.0};
    gear.modes[0].repeated = true;
    CHECK(mode_name(gear, 0) == "");
}

TEST_CASE("what is said to move a frequency moves it, both sides of the vehicle together") {
    // +1 % of the description's own value against a tenth of what +10 % are said to make: first
    // order, so that they differ by about half the change squared, 1 % of the change; where the
    // value is shared by several inertias or changes the operating point, the tolerance would
    // need more.
    struct Case {
        const char* key;
        double factor_key;  // value in the description's unit, plain
        const char* unit;
        const char* what;
    };
    const Scenario base = shipped_scenario("car_tip_in_2");
    ModesSettings settings;
    settings.gears = {"2"};
    const GearModes gear = find_modes(base, settings).gears[0];
    const double before = gear.modes[0].frequency;
    const Vehicle& vehicle = base.vehicle;
    for (const Case& one :
         {Case{"vehicle.axle.half_shaft_stiffness", vehicle.axle.half_shaft_stiffness.si(),
               "N m/rad", "half shaft stiffness"},
          Case{"vehicle.tyre.carcass_stiffness", vehicle.tyre.carcass_stiffness.si(), "N m/rad",
               "tyre carcass stiffness"},
          Case{"vehicle.body.mass", vehicle.body.mass.si(), "kg", "vehicle inertia"}}) {
        CAPTURE(one.what);
        const std::string value = std::to_string(1.01 * one.factor_key) + " " + one.unit;
        const double after =
            first_frequency(shipped_scenario("car_tip_in_2", {{one.key, value}}), "2");
        CHECK(after - before == near(0.1 * influence(gear, 0, one.what), 0.02));
    }
}

TEST_CASE("orders and critical speeds: firing order is half the cylinders") {
    const ModesRecord car = find_modes(shipped_scenario("car_idle_hot"));
    REQUIRE(car.orders.size() == 5);
    CHECK(car.firing_order == 2.0);
    CHECK(car.orders[0].order == 0.5);
    CHECK(car.orders[1].order == 1.0);
    CHECK(car.orders[2].name == "firing");
    CHECK(car.orders[4].order == 6.0);
    const ModesRecord truck = find_modes(shipped_scenario("heavy_truck_idle_hot"));
    CHECK(truck.firing_order == 3.0);
    // 30 Hz are 1800 swings a minute: order 2 makes them at 900 rpm.
    CHECK(critical_speed(30.0, 2.0) == near(900.0 * rpm, 1e-14));
    CHECK(in_range(car, 900.0 * rpm));
    CHECK(!in_range(car, 0.99 * car.lowest_speed));
    CHECK(!in_range(car, 1.01 * car.highest_speed));
    CHECK(highest_met(car) == near(6.0 * 6000.0 / 60.0, 1e-14));
}

TEST_CASE("a torque asked for holds in the gears and leaves neutral idling") {
    ModesSettings settings;
    settings.point.torque = 40.0;
    const ModesRecord record = find_modes(shipped_scenario("car_idle_hot"), settings);
    CHECK(record.gears[0].engine_torque < 5.0);
    CHECK(record.gears[1].engine_torque == 40.0);
}

TEST_CASE("a range that ends below idle speed is refused") {
    ModesSettings settings;
    settings.highest_speed = 500.0 * rpm;
    CHECK_THROWS_WITH_AS((void)find_modes(shipped_scenario("car_idle_hot"), settings),
                         "the engine's usable range would end at 500 rpm, below its idle speed of "
                         "800 rpm",
                         InputError);
}

TEST_CASE("modes of a slipping clutch: friction that falls with slip takes damping away") {
    // First order in a small damper g between engine and disc: Re(s) changes by
    // −g·|φ_engine − φ_disc|²/(2·Σ J·|φ|²) (Meirovitch, Fundamentals of Vibrations, 2001, damping
    // as a perturbation; recalled).
    Scenario scenario = shipped_scenario("car_take_up_1");
    scenario.vehicle.facing->friction_gradient =
        decltype(scenario.vehicle.facing->friction_gradient)::from_si(-1e-4);
    const ModesRecord record = find_modes(scenario, {.gears = {"1"}});
    REQUIRE(record.slipping.size() == 4);
    const auto& take_up = std::get<TakeUp>(scenario.manoeuvre);
    const Assembled slipping = assemble_slipping(scenario.vehicle, take_up, scenario.conditions,
                                                 0.25 * record.lowest_speed);
    for (const SlippingModes& point : record.slipping) {
        CAPTURE(point.clamp);
        CHECK(point.gradient < 0.0);
        CHECK(point.face_damping < 0.0);
        REQUIRE(point.inertias.size() == slipping.line.masses.size());
        int judder = 0;
        for (const SlippingRow& mode : point.modes) {
            CAPTURE(mode.frequency);
            double energy = 0.0;
            for (std::size_t i = 0; i < point.inertias.size(); ++i) {
                energy +=
                    slipping.line.masses[i].inertia *
                    (std::pow(mode.shape_real[i], 2.0) + std::pow(mode.shape_imaginary[i], 2.0));
            }
            const auto engine = static_cast<std::size_t>(slipping.engine);
            const auto disc = static_cast<std::size_t>(slipping.clutch_disc);
            const double apart =
                std::pow(mode.shape_real[engine] - mode.shape_real[disc], 2.0) +
                std::pow(mode.shape_imaginary[engine] - mode.shape_imaginary[disc], 2.0);
            const double expected = -0.5 * point.face_damping * apart / energy;
            if (mode.name == "judder") {
                ++judder;
                CHECK(mode.felt == 1.0);
                CHECK(mode.frequency > 5.0);
                CHECK(mode.frequency < 25.0);
                CHECK(mode.growth - mode.flat_growth == near(expected, 0.05));
            } else if (mode.damping_ratio < 0.05 && mode.frequency < 1000.0) {
                CHECK(mode.growth - mode.flat_growth == near(expected, 0.05));
            }
        }
        CHECK(judder == 1);
    }
    // Other gears and other manoeuvres have none.
    CHECK(find_modes(scenario, {.gears = {"2"}}).slipping.empty());
    CHECK(find_modes(shipped_scenario("car_idle_hot"), {.gears = {"1"}}).slipping.empty());
}
