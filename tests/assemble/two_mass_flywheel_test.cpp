// SPDX-License-Identifier: MIT
#include "libdamper/assemble/two_mass_flywheel.hpp"

#include "libdamper/assemble/assemble.hpp"
#include "libdamper/driveline/quasi_static.hpp"

#include "tests/support/near.hpp"
#include "tests/support/shipped.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double degree = std::numbers::pi / 180.0;
constexpr double rpm = std::numbers::pi / 30.0;
// Seats and stops of the other stages, 75 times as stiff, give a little under the friction.
constexpr double give = 0.014;

/// Free for 3° each way, then 4 N m/° up to 30°, then 8 N m/° up to 50°; softer far on coast.
TwoMassFlywheel sample() {
    const std::filesystem::path models =
        std::filesystem::path(DAMPER_SOURCE_DIR) / "tests/describe/samples/models";
    const Vehicle vehicle =
        read_vehicle(models / "vehicles/small_car.toml",
                     {.models = models, .changes = {{"two_mass_flywheel", "two_mass"}}});
    REQUIRE(vehicle.two_mass_flywheel.has_value());
    return *vehicle.two_mass_flywheel;
}

/// Torque at a twist on the way up and on the way down of a settled loop over the whole range.
std::pair<double, double> loop_at(const TwoMassFlywheel& flywheel, double speed, double twist) {
    QuasiStatic bench(flywheel_branch(flywheel, speed, 0, 0));
    bench.move_to(52.0 * degree);
    bench.move_to(-42.0 * degree);
    const double up = bench.move_to(twist);
    bench.move_to(52.0 * degree);
    return {up, bench.move_to(twist)};
}

}  // namespace

TEST_CASE("a two-mass flywheel has the corners, slopes and loop widths of its description") {
    const TwoMassFlywheel flywheel = sample();
    const std::vector<StageCorners> corners = stage_corners(staged_spring(flywheel, 0.0));
    REQUIRE(corners.size() == 3);
    CHECK(corners[0].drive_end_torque == 0.0);
    CHECK(corners[0].drive_end == near(3.0 * degree, 1e-12));
    CHECK(corners[1].drive_end_torque == near(4.0 * 27.0, 1e-12));
    CHECK(corners[2].drive_end_torque == near(4.0 * 27.0 + 8.0 * 20.0, 1e-12));
    CHECK(corners[2].coast_end_torque == near(4.0 * 22.0 + 8.0 * 15.0, 1e-12));

    const auto [up_in, down_in] = loop_at(flywheel, 0.0, 1.0 * degree);
    CHECK(0.5 * (up_in + down_in) == doctest::Approx(0.0).epsilon(1e-9));
    CHECK(up_in - down_in == near(3.0, 1e-9));
    const auto [up, down] = loop_at(flywheel, 0.0, 20.0 * degree);
    CHECK(0.5 * (up + down) == near(4.0 * 17.0, 1e-9));
    CHECK(up - down == near(6.0, give));
    const auto [up_outer, down_outer] = loop_at(flywheel, 0.0, 40.0 * degree);
    CHECK(0.5 * (up_outer + down_outer) == near(4.0 * 27.0 + 8.0 * 10.0, 1e-9));
}

TEST_CASE("arc spring friction grows with the square of the speed and with its factor") {
    TwoMassFlywheel flywheel = sample();
    const auto width = [&](double speed) {
        const auto [up, down] = loop_at(flywheel, speed, 20.0 * degree);
        return up - down;
    };
    CHECK(width(2000.0 * rpm) == near(6.0 + 8.0, give));
    CHECK(width(1000.0 * rpm) == near(6.0 + 2.0, give));
    flywheel.friction_factor = Ratio::from_si(0.5);
    CHECK(width(2000.0 * rpm) == near(7.0, give));
}

TEST_CASE("a torn arc spring halves the slope, a wider free angle takes its twist from the stage") {
    TwoMassFlywheel flywheel = sample();
    flywheel.stages[0].springs_broken = 1;
    const auto [up, down] = loop_at(flywheel, 0.0, 20.0 * degree);
    CHECK(0.5 * (up + down) == near(2.0 * 17.0, 1e-9));
    flywheel = sample();
    flywheel.free_angle = Angle::from_si(16.0 * degree);
    const auto [wide_up, wide_down] = loop_at(flywheel, 0.0, 20.0 * degree);
    CHECK(0.5 * (wide_up + wide_down) == near(4.0 * 12.0, 1e-9));
    flywheel.free_angle = {};
    CHECK(staged_spring(flywheel, 0.0).stages.size() == 2);
}

TEST_CASE("the flywheel stands between crankshaft and clutch, and none gives the engine back") {
    const Assembled two = assemble(shipped_scenario("car_two_mass_idle_hot"));
    const Assembled one = assemble(shipped_scenario("car_two_mass_idle_solid_flywheel"));
    const Vehicle vehicle = shipped_scenario("car_two_mass_idle_hot").vehicle;
    const TwoMassFlywheel& flywheel = *vehicle.two_mass_flywheel;
    REQUIRE(two.flywheel >= 0);
    CHECK(one.flywheel == -1);
    CHECK(two.clutch_side != two.engine);
    CHECK(one.clutch_side == one.engine);
    CHECK(two.line.masses.size() == one.line.masses.size() + 1);
    CHECK(two.line.branches.size() == one.line.branches.size() + 1);
    const auto inertia = [](const Assembled& a, int mass) {
        return a.line.masses[static_cast<std::size_t>(mass)].inertia;
    };
    CHECK(inertia(two, two.engine) ==
          near(vehicle.engine.inertia.si() - vehicle.engine.flywheel_inertia.si() +
                   flywheel.primary_inertia.si(),
               1e-12));
    CHECK(inertia(two, two.clutch_side) ==
          near(flywheel.secondary_inertia.si() + vehicle.disc.facing_inertia.si(), 1e-12));
    CHECK(inertia(one, one.engine) ==
          near(vehicle.engine.inertia.si() + vehicle.disc.facing_inertia.si(), 1e-12));
}

TEST_CASE("with the pedal down the clutch drags on the secondary side") {
    const Assembled open =
        assemble(shipped_scenario("car_two_mass_idle_hot", {{"manoeuvre.pedal", "down"}}));
    const Branch& drag =
        open.line.branches[static_cast<std::size_t>(open.line.branch("released clutch"))];
    CHECK(drag.row[0].inertia == open.clutch_side);
    CHECK(open.line.masses[static_cast<std::size_t>(open.clutch_side)].name ==
          "flywheel secondary side");
}
