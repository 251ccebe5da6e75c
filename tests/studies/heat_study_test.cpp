// SPDX-License-Identifier: MIT
#include "libdamper/studies/heat_study.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/read.hpp"

#include "tests/support/shipped.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <string>

using namespace damper;
using damper::test::Changes;

namespace {

HeatRecord study(const std::string& name, Changes changes = {}, const HeatSettings& settings = {}) {
    const std::filesystem::path root = DAMPER_SOURCE_DIR;
    Scenario scenario;
    scenario.name = name;
    scenario.vehicle = read_vehicle(root / "models" / "vehicles" / (name + ".toml"),
                                    {.models = root / "models", .changes = std::move(changes)});
    return study_heat(scenario, settings);
}

/// A car that gets really hot: heavy, without cooling.
const Changes hot_car = {{"body.mass", "2600 kg"},
                         {"cover.pressure_plate.cooling", "0 W/K"},
                         {"flywheel.heat.cooling", "0 W/K"}};

}  // namespace

TEST_CASE("slip energy of a start by hand") {
    // Engine held at 1500 rpm, 100 N m: ts = Δω·Jv/(T − Tl), Q = ½·T·Δω·ts.
    const HeatRecord record = study("car_petrol");
    const HeatStart& hill = record.starts.back();
    const double slip = 1500.0 * std::numbers::pi / 30.0;
    const double time = slip * record.vehicle_inertia / (hill.clutch_torque - hill.load_torque);
    CHECK(hill.slip_time == doctest::Approx(time));
    CHECK(hill.energy == doctest::Approx(0.5 * hill.clutch_torque * slip * time));
    CHECK(hill.specific_energy * record.facing_area == doctest::Approx(hill.energy));
    // The lumped rise: energy over the heat capacity of both plates, 3.6 and 6 kg at 500 J/(kg K).
    CHECK(hill.one_mass_rise == doctest::Approx(hill.energy / (9.6 * 500.0)));
    // Half of it into 3.6 kg, less the little that cools away in two seconds.
    CHECK(hill.bulk_rise == doctest::Approx(0.5 * hill.energy / (3.6 * 500.0)).epsilon(0.01));
}

TEST_CASE("the heat of all starts is in the plates or in the air") {
    for (const char* name : {"car_petrol", "van_diesel", "medium_truck", "heavy_truck"}) {
        CAPTURE(name);
        HeatSettings settings;
        settings.starts = 40;
        const HeatRecord record = study(name, {}, settings);
        REQUIRE(record.steps.size() == 40);
        CHECK(record.energy_stored + record.energy_lost ==
              doctest::Approx(record.energy_in).epsilon(1e-11));
        for (std::size_t i = 1; i < record.steps.size(); ++i) {
            CHECK(record.steps[i].before[0] < record.steps[i - 1].after[0]);
            CHECK(record.steps[i].after[0] > record.steps[i].before[0]);
            CHECK(record.steps[i].face_temperature > record.steps[i].after[0]);
        }
    }
}

TEST_CASE("without cooling the count of starts follows from heat capacity") {
    HeatSettings settings;
    settings.starts = 3;
    settings.limit = 273.15 + 150.0;  // friction has not faded by then
    const Changes changes = {hot_car[0], hot_car[1], hot_car[2], {"facing.fade", "[]"}};
    const HeatRecord record = study("car_petrol", changes, settings);
    const double each = record.starts.back().energy / (9.6 * 500.0);
    // Both plates share their heat between starts but for what a minute leaves of the difference.
    const int lower = static_cast<int>(std::floor(0.9 * 90.0 / each));
    const int upper = static_cast<int>(std::ceil(1.05 * 90.0 / each));
    CHECK(record.starts_to_limit >= lower);
    CHECK(record.starts_to_limit <= upper);
    CHECK(record.energy_lost == doctest::Approx(0.0));
    // The count is that of the steps: one before it is still below the limit.
    settings.starts = record.starts_to_limit;
    const HeatRecord all = study("car_petrol", changes, settings);
    const auto hottest = [&](const HeatStep& step) {
        return *std::max_element(step.after.begin(), step.after.end());
    };
    CHECK(hottest(all.steps.back()) > settings.limit);
    CHECK(hottest(all.steps[all.steps.size() - 2]) <= settings.limit);
}

TEST_CASE("faded friction lengthens the slip until the vehicle cannot start") {
    HeatSettings settings;
    settings.starts = 400;
    settings.interval = 20.0;
    settings.limit = 273.15 + 700.0;
    // Oily facings, so that what is left at 350 °C falls below what the hill takes.
    const Changes changes = {hot_car[0], hot_car[1], hot_car[2], {"facing.friction", "0.13"}};
    const HeatRecord record = study("car_petrol", changes, settings);
    REQUIRE(record.steps.size() > 10);
    CHECK(record.steps.size() < 400);
    CHECK_FALSE(record.ended.empty());
    CHECK(record.verdict.grade == Grade::bad);
    const HeatStep& first = record.steps.front();
    const HeatStep& last = record.steps.back();
    CHECK(last.capacity < 0.7 * first.capacity);
    CHECK(last.slip_time > 1.5 * first.slip_time);
    CHECK(last.energy > first.energy);
    CHECK(last.clutch_torque == doctest::Approx(std::min(first.clutch_torque, last.capacity)));
}

TEST_CASE("the time to cool ends at the temperature asked for") {
    HeatSettings settings;
    settings.starts = 20;
    settings.interval = 20.0;
    const HeatRecord record = study("heavy_truck", {{"body.mass", "40000 kg"}}, settings);
    REQUIRE(record.time_to_cool > 0.0);
    const double begin = record.steps.back().time + record.steps.back().slip_time;
    for (std::size_t n = 0; n < record.history.time.size(); ++n) {
        const double since = record.history.time[n] - begin;
        if (since < 1e-9) continue;
        const auto& all = record.history.temperature[n];
        const double hottest = *std::max_element(all.begin(), all.end());
        CHECK((hottest > settings.cool) == (since < record.time_to_cool));
    }
}

TEST_CASE("a start that cannot be is refused with what would help") {
    HeatSettings settings;
    settings.clutch_torque = 20.0;
    CHECK_THROWS_AS((void)study("car_petrol", {}, settings), InputError);
    settings = {};
    settings.gear = std::string("9");
    CHECK_THROWS_AS((void)study("car_petrol", {}, settings), InputError);
    settings = {};
    settings.interval = 1.0;
    CHECK_THROWS_AS((void)study("car_petrol", {}, settings), InputError);
    // Two discs without a plate between them.
    CHECK_THROWS_AS((void)study("heavy_truck", {{"facing.faces", "4"}}), InputError);
    const HeatRecord two = study("heavy_truck", {{"facing.faces", "4"},
                                                 {"cover.centre_plate.mass", "18 kg"},
                                                 {"cover.centre_plate.cooling", "8 W/K"}});
    REQUIRE(two.plates.size() == 3);
    CHECK(two.slip_share[2] == doctest::Approx(0.5));
    CHECK(two.energy_stored + two.energy_lost == doctest::Approx(two.energy_in).epsilon(1e-11));
}
