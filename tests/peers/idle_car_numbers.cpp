// SPDX-License-Identifier: MIT
#include "libdamper/assemble/assemble.hpp"
#include "libdamper/assemble/gearbox.hpp"
#include "libdamper/driveline/steady_state.hpp"

#include "tests/peers/idle_car.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace damper::peers {

namespace {

/// Torque and twist reached at the end of the stages so far, coast and drive, as positive numbers.
struct Reached {
    std::array<double, 2> torque = {}, twist = {};
};

/// The description tells slopes and corners of the whole disc. While one stage moves all others
/// rest on a seat or stop, so the stage's springs are what is left of the slope without those.
Stage stage_of(const Disc& disc, const DiscStage& d, Reached& reached) {
    const double count = static_cast<double>(disc.stages.size());
    const double left = d.springs == 0 ? 1.0
                                       : 1.0 - static_cast<double>(d.springs_broken) /
                                                   static_cast<double>(d.springs);
    const double drive = left * d.stiffness.si();
    const double coast = d.coast_stiffness.si() > 0.0 ? left * d.coast_stiffness.si() : drive;
    const std::array<double, 2> slope = {coast, drive};
    const std::array<double, 2> to = {d.coast_end.si(), d.drive_end.si()};
    Stage stage;
    stage.contact = count * disc.stop_stiffness.si();
    for (std::size_t side = 0; side < 2; ++side) {
        const double begins = reached.torque[side] + d.preload.si();
        const double moving =
            to[side] - reached.twist[side] - d.preload.si() / disc.stop_stiffness.si();
        stage.stiffness[side] = 1.0 / (1.0 / slope[side] - (count - 1.0) / stage.contact);
        stage.seat[side] = begins / stage.contact;
        stage.end[side] = stage.seat[side] + slope[side] * moving / stage.stiffness[side];
        reached.torque[side] = begins + slope[side] * moving;
        reached.twist[side] = to[side];
    }
    stage.limit = 0.5 * d.hysteresis.si() * d.friction_factor.si();
    stage.grip = stage.limit > 0.0 ? disc.friction_grip.si() * drive : 0.0;
    return stage;
}

LooseGear gear_of(const Gearbox& box, const GearPair& pair, double oil) {
    const DragTorque drag = loose_gear_drag(box, pair, oil);
    const double k = box.mesh_stiffness.si();
    const double j = pair.loose_inertia.si();
    return {.ratio = 1.0 / pair.ratio.si(),
            .inertia = j,
            .half_gap = 0.5 * pair.backlash.si() / pair.pitch_radius.si(),
            .k = k,
            .c = 2.0 * box.mesh_damping.si() * std::sqrt(k * j),
            .drag = drag.constant,
            .viscous = drag.viscous};
}

}  // namespace

double Stage::spring(double twist) const {
    const std::size_t side = twist < 0.0 ? 0 : 1;
    const double size = std::abs(twist);
    const double torque =
        contact * std::min(size, seat[side]) +
        stiffness[side] * std::clamp(size - seat[side], 0.0, end[side] - seat[side]) +
        contact * std::max(0.0, size - end[side]);
    return std::copysign(torque, twist);
}

double IdleCar::drag() const {
    double sum = shaft_drag + shaft_viscous * speed;
    for (const LooseGear& gear : gears) {
        sum += gear.ratio * (gear.drag + gear.viscous * gear.ratio * speed);
    }
    return sum;
}

IdleCar idle_car(const Scenario& scenario) {
    const auto& idle = std::get<Idle>(scenario.manoeuvre);
    const Vehicle& vehicle = scenario.vehicle;
    if (idle.pedal == "down" || vehicle.disc.assembly == "series" ||
        vehicle.disc.spline_play.si() > 0.0) {
        throw std::runtime_error("the reference knows a closed clutch and a lumped disc only");
    }
    const double oil = scenario.conditions.gearbox_oil.si();
    const Assembled assembled = assemble(scenario);
    const DragTorque shaft = shaft_drag(vehicle.gearbox, oil);
    IdleCar car;
    car.speed = idle.speed.si() > 0.0 ? idle.speed.si() : vehicle.engine.idle_speed.si();
    car.engine = vehicle.engine.inertia.si() + vehicle.disc.facing_inertia.si();
    car.input = vehicle.gearbox.input_inertia.si() + vehicle.disc.hub_inertia.si();
    car.disc_damping = vehicle.disc.damping.si();
    car.shaft_drag = shaft.constant;
    car.shaft_viscous = shaft.viscous;
    // Where the crank stands when the run begins is free; the course is compared from there.
    car.crank_angle =
        steady_state(assembled.line).state.angle[static_cast<std::size_t>(assembled.engine)];
    Reached reached;
    for (const DiscStage& stage : vehicle.disc.stages) {
        car.stages.push_back(stage_of(vehicle.disc, stage, reached));
    }
    for (const GearPair& pair : vehicle.gearbox.gears) {
        if (pair.loose_on == "output shaft") {
            car.gears.push_back(gear_of(vehicle.gearbox, pair, oil));
        }
    }
    for (const CrankHarmonic& h :
         std::get<CrankTorque>(assembled.line.inputs.front().source).harmonics) {
        car.harmonics.push_back({h.order, h.cosine, h.sine});
    }
    return car;
}

}  // namespace damper::peers
