// SPDX-License-Identifier: MIT
// The shipped vehicles, assembled for every manoeuvre.
#include "libdamper/assemble/assemble.hpp"
#include "libdamper/assemble/engine.hpp"
#include "libdamper/assemble/gearbox.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/driveline/linearise.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/elements/viscosity.hpp"
#include "libdamper/numerics/eigen_pairs.hpp"

#include "tests/support/near.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <filesystem>
#include <numbers>
#include <set>

using namespace damper;
using damper::test::near;

namespace {

constexpr double celsius = 273.15;

std::vector<Vehicle> vehicles() {
    const std::filesystem::path models = std::filesystem::path(DAMPER_SOURCE_DIR) / "models";
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::directory_iterator(models / "vehicles")) {
        files.push_back(entry.path());
    }
    std::sort(files.begin(), files.end());
    std::vector<Vehicle> out;
    for (const auto& file : files) {
        out.push_back(read_vehicle(file, {.models = models, .changes = {}}));
    }
    return out;
}

Conditions at(double oil_celsius) {
    return {.gearbox_oil = Temperature::from_si(oil_celsius + celsius), .grade = {}};
}

Idle idling(const char* pedal) {
    Idle idle;
    idle.pedal = pedal;
    idle.length = Time::from_si(1.0);
    return idle;
}

TorqueChange pull(const std::string& gear) {
    TorqueChange change;
    change.gear = gear;
    change.speed = AngularSpeed::from_si(180.0);
    change.from = Torque::from_si(20.0);
    change.to = Torque::from_si(100.0);
    return change;
}

bool has_branch(const Driveline& line, const std::string& name) {
    return std::any_of(line.branches.begin(), line.branches.end(),
                       [&](const Branch& b) { return b.name == name; });
}

}  // namespace

TEST_CASE("every loose gear of every shipped vehicle has its play and its drag") {
    REQUIRE(vehicles().size() >= 4);
    for (const Vehicle& vehicle : vehicles()) {
        CAPTURE(vehicle.title);
        const Assembled idle = assemble_idle(vehicle, idling("up"), at(80.0));
        std::size_t turning = 0;
        for (const GearPair& gear : vehicle.gearbox.gears) {
            CAPTURE(gear.name);
            const bool turns = turns_in_neutral(gear);
            turning += turns ? 1 : 0;
            CHECK(has_branch(idle.line, "gear " + gear.name + " loose") == turns);
            CHECK(has_branch(idle.line, "gear " + gear.name + " drag") == turns);
        }
        CHECK(idle.loose_gears.size() == turning);
        for (const GearPair& engaged : vehicle.gearbox.gears) {
            const Assembled driven = assemble_in_gear(vehicle, pull(engaged.name), at(80.0));
            CHECK(driven.loose_gears.size() == vehicle.gearbox.gears.size() - 1);
            for (const GearPair& gear : vehicle.gearbox.gears) {
                const bool loose = gear.name != engaged.name;
                CHECK(has_branch(driven.line, "gear " + gear.name + " loose") == loose);
                CHECK(has_branch(driven.line, "gear " + gear.name + " drag") == loose);
            }
        }
        for (const Assembled::LooseGear& gear : idle.loose_gears) {
            CHECK(gear.drag > 0.0);
            CHECK(gear.inertia > 0.0);
        }
    }
}

TEST_CASE("a loose gear's drag at the reference is what the description gives") {
    for (const Vehicle& vehicle : vehicles()) {
        Gearbox box = vehicle.gearbox;
        const double oil = 80.0 + celsius;
        const ViscosityLine line(40.0 + celsius, box.oil.viscosity_40.si(), 100.0 + celsius,
                                 box.oil.viscosity_100.si());
        box.drag_viscosity = KinematicViscosity::from_si(line.at(oil));
        CHECK(drag_factor(box, oil) == near(1.0, 1e-12));
        for (const GearPair& gear : box.gears) {
            const double speed =
                box.drag_speed.si() / (turns_in_neutral(gear) ? gear.ratio.si() : 1.0);
            CHECK(loose_gear_drag(box, gear, oil).at(speed) ==
                  near(gear.drag_constant.si() + gear.drag_viscous.si(), 1e-12));
        }
        CHECK(shaft_drag(box, oil).at(box.drag_speed.si()) ==
              near(box.shaft_drag_constant.si() + box.shaft_drag_viscous.si(), 1e-12));
    }
}

TEST_CASE("cold oil and thick oil raise the drag, by the power of the viscosity and no more") {
    for (const Vehicle& vehicle : vehicles()) {
        const Gearbox& box = vehicle.gearbox;
        Gearbox thick = box;
        thick.oil.viscosity_40 = KinematicViscosity::from_si(2.0 * box.oil.viscosity_40.si());
        thick.oil.viscosity_100 = KinematicViscosity::from_si(1.8 * box.oil.viscosity_100.si());
        double before = 0.0;
        for (const double oil : {100.0, 80.0, 40.0, 20.0, 0.0, -20.0}) {
            const double factor = drag_factor(box, oil + celsius);
            CHECK(factor > before);
            before = factor;
            CHECK(drag_factor(thick, oil + celsius) > 1.3 * factor);
        }
        CHECK(drag_factor(thick, 40.0 + celsius) ==
              near(drag_factor(box, 40.0 + celsius) * std::pow(2.0, 0.65), 1e-9));
        for (const GearPair& gear : box.gears) {
            const DragTorque cold = loose_gear_drag(box, gear, -10.0 + celsius);
            const DragTorque warm = loose_gear_drag(box, gear, 80.0 + celsius);
            CHECK(cold.constant == warm.constant);
            CHECK(cold.viscous > 2.0 * warm.viscous);
        }
    }
}

TEST_CASE("every manoeuvre of every shipped vehicle begins in a balanced steady state") {
    for (const Vehicle& vehicle : vehicles()) {
        CAPTURE(vehicle.title);
        std::vector<Assembled> all;
        for (const char* pedal : {"up", "down"}) {
            for (const double oil : {-20.0, 20.0, 90.0}) {
                all.push_back(assemble_idle(vehicle, idling(pedal), at(oil)));
            }
        }
        for (const GearPair& gear : vehicle.gearbox.gears) {
            all.push_back(assemble_in_gear(vehicle, pull(gear.name), at(60.0)));
        }
        for (const Assembled& assembled : all) {
            const Driveline& line = assembled.line;
            CHECK_NOTHROW(check(line));
            const SteadyState steady = steady_state(line);
            // Sum over each inertia of all torques equals inertia times acceleration.
            std::vector<double> net(line.masses.size(), 0.0);
            double size = 1.0;
            const auto take = [&](const std::vector<RowEntry>& row, double torque) {
                for (const RowEntry& entry : row) {
                    net[static_cast<std::size_t>(entry.inertia)] -= entry.factor * torque;
                }
                size = std::max(size, std::abs(torque));
            };
            for (std::size_t b = 0; b < line.branches.size(); ++b) {
                take(line.branches[b].row, steady.torque[b]);
            }
            for (std::size_t s = 0; s < line.smooth.size(); ++s) {
                take(line.smooth[s].row, steady.smooth_torque[s]);
            }
            for (const Input& input : line.inputs) {
                const auto i = static_cast<std::size_t>(input.inertia);
                const double mean = mean_torque(input.source, line.masses[i].reference_speed);
                for (const RowEntry& entry : input.row()) {
                    net[static_cast<std::size_t>(entry.inertia)] += entry.factor * mean;
                }
            }
            for (std::size_t i = 0; i < net.size(); ++i) {
                CAPTURE(line.masses[i].name);
                CHECK(std::abs(net[i] - line.masses[i].inertia * steady.acceleration[i]) <
                      1e-8 * size);
            }
        }
    }
}

TEST_CASE("idling in neutral accelerates nothing, and in gear everything turns in ratio") {
    for (const Vehicle& vehicle : vehicles()) {
        CAPTURE(vehicle.title);
        const SteadyState idle = steady_state(assemble_idle(vehicle, idling("up"), at(80.0)).line);
        for (const double a : idle.acceleration) CHECK(std::abs(a) < 1e-8);
        const GearPair& gear = vehicle.gearbox.gears[1];
        const Assembled driven = assemble_in_gear(vehicle, pull(gear.name), at(80.0));
        const SteadyState steady = steady_state(driven.line);
        const double total = gear.ratio.si() * vehicle.axle.final_drive.si();
        const auto engine = static_cast<std::size_t>(driven.engine);
        const auto body = static_cast<std::size_t>(driven.vehicle);
        CHECK(steady.acceleration[engine] == near(total * steady.acceleration[body], 1e-8));
        CHECK(driven.line.masses[engine].reference_speed ==
              near(total * driven.line.masses[body].reference_speed, 1e-12));
    }
}

TEST_CASE("in every gear the whole driveline has two free rotations at most and a shuffle mode") {
    // The open differential lets the two sides turn against each other; the lash is pressed.
    for (const Vehicle& vehicle : vehicles()) {
        double before = 0.0;
        for (const GearPair& gear : vehicle.gearbox.gears) {
            if (gear.name == "R") continue;
            CAPTURE(vehicle.title);
            CAPTURE(gear.name);
            const Assembled driven = assemble_in_gear(vehicle, pull(gear.name), at(80.0));
            const SteadyState steady = steady_state(driven.line);
            const Linearised l = linearise(driven.line, steady.state, Friction::slips);
            const auto modes = damped_modes(l.mass, l.damping, l.stiffness);
            REQUIRE_FALSE(modes.empty());
            const double shuffle = modes.front().damped_frequency / (2.0 * std::numbers::pi);
            CHECK(shuffle > 0.3);
            CHECK(shuffle < 15.0);
            CHECK(shuffle > before);  // a higher gear is a stiffer one, seen from the engine
            before = shuffle;
        }
    }
}

TEST_CASE("the engine's torque answers the load and keeps the mean asked at the flywheel") {
    for (const Vehicle& vehicle : vehicles()) {
        const double speed = vehicle.engine.idle_speed.si();
        const CrankTorque light = crank_torque(vehicle.engine, speed, 2.0, 0.0);
        const CrankTorque loaded = crank_torque(vehicle.engine, speed, 2.0, 30.0);
        CHECK(light.mean == 2.0);
        CHECK(loaded.mean == 2.0);
        const auto firing = [](const CrankTorque& t) {
            return std::hypot(t.harmonics.front().cosine, t.harmonics.front().sine);
        };
        CHECK(firing(loaded) > 1.05 * firing(light));
        Engine weak = vehicle.engine;
        weak.cylinder_gains.assign(static_cast<std::size_t>(weak.cylinders), Ratio::from_si(1.0));
        weak.cylinder_gains[0] = Ratio::from_si(0.7);
        CHECK(crank_torque(weak, speed, 2.0, 0.0).harmonics.front().order == 0.5);
    }
}

TEST_CASE("firing angles follow order and intervals") {
    Engine engine;
    engine.cylinders = 4;
    engine.firing_order = {1, 3, 4, 2};
    const double pi = std::numbers::pi;
    CHECK(firing_angles(engine)[2] == near(pi, 1e-12));
    CHECK(firing_angles(engine)[1] == near(3.0 * pi, 1e-12));
    engine.firing_intervals = {Angle::from_si(0.5 * pi), Angle::from_si(1.5 * pi),
                               Angle::from_si(0.5 * pi), Angle::from_si(1.5 * pi)};
    CHECK(firing_angles(engine)[0] == 0.0);
    CHECK(firing_angles(engine)[2] == near(0.5 * pi, 1e-12));
    CHECK(firing_angles(engine)[3] == near(2.0 * pi, 1e-12));
    CHECK(firing_angles(engine)[1] == near(2.5 * pi, 1e-12));
}

TEST_CASE("a gear that the gearbox does not have is the user's to mend") {
    const Vehicle vehicle = vehicles().front();
    CHECK_THROWS_AS((void)assemble_in_gear(vehicle, pull("17"), at(80.0)), InputError);
}

TEST_CASE("an engine whose cylinders differ starts: half orders where it burns, none where not") {
    for (Vehicle vehicle : vehicles()) {
        if (!(vehicle.engine.starter_torque.si() > 0.0)) continue;
        CAPTURE(vehicle.title);
        vehicle.engine.cylinder_gains.assign(static_cast<std::size_t>(vehicle.engine.cylinders),
                                             Ratio::from_si(1.0));
        vehicle.engine.cylinder_gains[1] = Ratio::from_si(0.6);
        EngineStart start;
        start.pedal = "up";
        start.fires = Time::from_si(0.4);
        start.length = Time::from_si(1.0);
        Scenario scenario;
        scenario.vehicle = vehicle;
        scenario.manoeuvre = start;
        scenario.conditions = at(80.0);
        const Assembled line = assemble(scenario);
        bool uneven = false;
        for (const auto& input : line.line.inputs) {
            if (const auto* torque = std::get_if<SpeedTorque>(&input.source)) {
                for (const SpeedTorque::Map& map : torque->maps) {
                    for (const CrankTorque& one : map.at) {
                        CHECK(one.harmonics.size() == map.at.front().harmonics.size());
                        for (const CrankHarmonic& h : one.harmonics) {
                            uneven = uneven || h.order == doctest::Approx(0.5);
                        }
                    }
                }
            }
        }
        CHECK(uneven);
        CHECK_NOTHROW((void)steady_state(line.line));
    }
}
