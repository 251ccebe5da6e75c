// SPDX-License-Identifier: MIT
#include "libdamper/parts/check.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace damper {

namespace {

// Wide on purpose: a doubt that comes up with a sound description is not read the next time.
// All of them common practice, no source.
constexpr double degree = 0.017453292519943295;               // [rad]
constexpr double softest_main = 1.0 / degree;                 // 1 N m/deg in [N m/rad]
constexpr double least_hysteresis = 0.01;                     // [N m]
constexpr double slowest_idle = 400.0 * 0.10471975511965977;  // [rad/s]
constexpr double fastest_idle = 1500.0 * 0.10471975511965977;
constexpr double widest_backlash = 1e-3;  // [m]

void doubt_springs(const Disc& disc, std::vector<std::string>& said) {
    if (disc.stages.empty()) return;
    const DiscStage& main = disc.stages.back();
    if (main.stiffness.si() < softest_main) {
        said.push_back(fmt::format(
            "Check the description: the last stage of the disc has {}, less than any main stage; "
            "was N m/rad meant?",
            write_quantity(main.stiffness, 3)));
    }
    for (std::size_t i = 1; i < disc.stages.size(); ++i) {
        if (disc.stages[i].stiffness >= disc.stages[i - 1].stiffness) continue;
        said.push_back(fmt::format(
            "Check the description: stage \"{}\" of the disc is softer ({}) than \"{}\" before it "
            "({}); stages grow stiffer from the inside out.",
            disc.stages[i].name, write_quantity(disc.stages[i].stiffness, 3),
            disc.stages[i - 1].name, write_quantity(disc.stages[i - 1].stiffness, 3)));
    }
}

/// None at all is a choice, next to none a slip of the unit.
void doubt_hysteresis(const Disc& disc, std::vector<std::string>& said) {
    for (const DiscStage& stage : disc.stages) {
        const double width = stage.hysteresis.si();
        if (width == 0.0 || width >= least_hysteresis) continue;
        said.push_back(fmt::format(
            "Check the description: stage \"{}\" of the disc has a hysteresis of only {}.",
            stage.name, write_quantity(stage.hysteresis, 3)));
    }
}

/// Where the last stage ends on the drive side, with all springs whole [N m].
double stop_torque(const Disc& disc) {
    double torque = 0.0;
    double inner = 0.0;
    for (const DiscStage& stage : disc.stages) {
        torque += stage.preload.si() + stage.stiffness.si() * (stage.drive_end.si() - inner);
        inner = stage.drive_end.si();
    }
    return torque;
}

}  // namespace

std::vector<std::string> doubts(const Vehicle& vehicle) {
    std::vector<std::string> said;
    doubt_springs(vehicle.disc, said);
    doubt_hysteresis(vehicle.disc, said);
    const double stop = stop_torque(vehicle.disc);
    if (stop < vehicle.engine.peak_torque.si()) {
        said.push_back(fmt::format(
            "Check the description: the disc meets its drive stop at about {}, below the peak "
            "torque of the engine, {}; springs then strike their stops under full load.",
            write_quantity(Torque::from_si(stop), 3), write_quantity(vehicle.engine.peak_torque)));
    }
    if (vehicle.two_mass_flywheel && vehicle.engine.flywheel_inertia.si() == 0.0) {
        said.emplace_back(
            "Check the description: there is a two-mass flywheel, but engine.flywheel_inertia is "
            "0: the solid flywheel in the engine's inertia then turns along with it.");
    }
    const double idle = vehicle.engine.idle_speed.si();
    if (idle < slowest_idle || idle > fastest_idle) {
        said.push_back(fmt::format("Check the description: an idle speed of {} is unusual.",
                                   write_quantity(vehicle.engine.idle_speed, 4)));
    }
    for (const GearPair& gear : vehicle.gearbox.gears) {
        if (gear.backlash.si() <= widest_backlash) continue;
        said.push_back(
            fmt::format("Check the description: gear \"{}\" has a backlash of {}; tenths of a "
                        "millimetre are usual.",
                        gear.name, write_quantity(gear.backlash, 3)));
    }
    return said;
}

}  // namespace damper
