// SPDX-License-Identifier: MIT
#include "libdamper/assemble/mounts.hpp"

#include "libdamper/assemble/assemble.hpp"
#include "libdamper/driveline/stacked.hpp"
#include "libdamper/driveline/steady_state.hpp"

#include "tests/support/near.hpp"
#include "tests/support/shipped.hpp"

#include <cmath>
#include <doctest/doctest.h>

using namespace damper;
using namespace damper::test;

namespace {

const Changes van_mounts = {{"mounts.roll_inertia", "9 kg m2"},
                            {"mounts.roll_stiffness", "20000 N m/rad"},
                            {"mounts.damping", "60 N m s/rad"}};

/// Pulling with a constant torque in a gear.
Assembled pulling(const std::string& scenario, const std::string& gear, Changes changes) {
    changes.emplace_back("manoeuvre.gear", gear);
    changes.emplace_back("manoeuvre.from", "40 N m");
    return assemble(shipped_scenario(scenario, std::move(changes)));
}

double torque_of(const SteadyState& steady, int branch) {
    return steady.torque[static_cast<std::size_t>(branch)];
}

/// Torque that accelerates an inertia in the steady pull.
double takes(const Assembled& a, const SteadyState& steady, const char* mass) {
    const auto i = static_cast<std::size_t>(a.line.mass(mass));
    return a.line.masses[i].inertia * steady.acceleration[i];
}

}  // namespace

TEST_CASE("transverse, the mounts carry the torque of the drive shafts") {
    for (const char* gear : {"1", "3", "5"}) {
        CAPTURE(gear);
        const Assembled a = pulling("car_on_mounts_tip_in_2", gear, {});
        const SteadyState steady = steady_state(a.line);
        double shafts = 0.0;
        for (const int shaft : a.drive_shafts) shafts += torque_of(steady, shaft);
        // What turns in the unit takes its share of the shafts' and the engine's torque as it gains
        // speed, and drag in the gearbox leans on it too; that is left out, 3 N m at the input.
        const double turning = takes(a, steady, "engine") + takes(a, steady, "input shaft") -
                               takes(a, steady, "gearbox output") +
                               takes(a, steady, "differential left") +
                               takes(a, steady, "differential right");
        const double ratio = a.gear_path[0].second * a.gear_path[1].second;
        CHECK(std::abs(torque_of(steady, a.mounts) - (shafts + turning)) <
              3.0 * (1.0 + std::abs(ratio)));
        CHECK(torque_of(steady, a.mounts) > 0.9 * shafts);
        CHECK(steady.state.angle[static_cast<std::size_t>(a.power_unit)] < 0.0);
    }
}

TEST_CASE("with a propshaft, the mounts carry the torque of the gearbox output alone") {
    for (const char* gear : {"1", "6"}) {
        CAPTURE(gear);
        Changes changes = van_mounts;
        changes.emplace_back("manoeuvre.to", "60 N m");
        const Assembled a = pulling("van_two_mass_tip_in_2", gear, changes);
        const SteadyState steady = steady_state(a.line);
        const double propshaft = torque_of(steady, a.line.branch("propshaft"));
        const double turning = takes(a, steady, "engine") + takes(a, steady, "input shaft") +
                               takes(a, steady, "flywheel secondary side") +
                               takes(a, steady, "gearbox output");
        CHECK(std::abs(torque_of(steady, a.mounts) - (propshaft + turning)) <
              5.0 * (1.0 + a.gear_path[0].second));
        double shafts = 0.0;
        for (const int shaft : a.drive_shafts) shafts += torque_of(steady, shaft);
        CHECK(torque_of(steady, a.mounts) < 0.6 * shafts);
    }
}

TEST_CASE("the power unit and all that turns in it can turn together: the ratios are kept") {
    // In uniform motion, with the unit at rest, no element twists further.
    for (const char* gear : {"1", "2", "5", "R"}) {
        CAPTURE(gear);
        const Assembled a = pulling("car_on_mounts_tip_in_2", gear, {});
        const Stacked stacked(a.line);
        for (std::size_t b = 0; b < a.line.branches.size(); ++b) {
            if (a.line.branches[b].row.size() < 2) continue;
            CAPTURE(a.line.branches[b].name);
            CHECK(std::abs(stacked.drift(b)) < 1e-9);
        }
    }
}

TEST_CASE("half the share of the torque makes half the roll") {
    const auto roll = [](const char* share) {
        const Assembled a =
            pulling("car_on_mounts_tip_in_2", "3", {{"mounts.torque_share", share}});
        return steady_state(a.line).state.angle[static_cast<std::size_t>(a.power_unit)];
    };
    // Half the torque by half the share, but the mounts turn it in the same proportion.
    CHECK(roll("0.5") == near(0.5 * roll("1"), 1e-9));
}

TEST_CASE("mounts have stops, and torn ones a play in which nothing holds") {
    const auto law = [](Changes changes) {
        const Assembled a =
            assemble(shipped_scenario("car_on_mounts_idle_hot", std::move(changes)));
        return a.line.branches[static_cast<std::size_t>(a.mounts)].chain[0].parts[0].law;
    };
    const Law sound = law({});
    REQUIRE(sound.modes.size() == 3);
    CHECK(sound.modes[1].spring == near(18000.0, 1e-12));
    CHECK(sound.modes[2].label == "drive stop");
    CHECK(sound.modes[2].spring == near(150000.0, 1e-12));
    const Law torn = law({{"mounts.free_play", "2 deg"}, {"mounts.stiffness_factor", "0.25"}});
    REQUIRE(torn.modes.size() == 5);
    CHECK(torn.modes[2].spring == 0.0);
    CHECK(torn.modes[3].spring == near(4500.0, 1e-12));
    CHECK(law({{"mounts.drive_stop", "0 deg"}, {"mounts.coast_stop", "0 deg"}}).modes.size() == 1);
}

TEST_CASE("a vehicle without mounts has no power unit, and its rows name no other inertia") {
    const Assembled a = assemble(shipped_scenario("car_tip_in_2"));
    CHECK(a.power_unit == -1);
    CHECK(a.mounts == -1);
    for (const Input& input : a.line.inputs) CHECK_FALSE(input.leans());
    const Assembled none = assemble(shipped_scenario(
        "car_on_mounts_tip_in_2", {{"mounts", "none"}, {"manoeuvre.to", "110 N m"}}));
    REQUIRE(none.line.branches.size() == a.line.branches.size());
    for (std::size_t b = 0; b < a.line.branches.size(); ++b) {
        CHECK(none.line.branches[b].name == a.line.branches[b].name);
        CHECK(none.line.branches[b].row.size() == a.line.branches[b].row.size());
    }
}
