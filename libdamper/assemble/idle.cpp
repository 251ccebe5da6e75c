// SPDX-License-Identifier: MIT
#include "libdamper/assemble/assemble.hpp"
#include "libdamper/assemble/engine.hpp"
#include "libdamper/assemble/mounts.hpp"
#include "libdamper/assemble/neutral.hpp"

namespace damper {

Assembled assemble_idle(const Vehicle& vehicle, const Idle& idle, const Conditions& conditions) {
    const double oil = conditions.gearbox_oil.si();
    const double speed = idle.speed.si() > 0.0 ? idle.speed.si() : vehicle.engine.idle_speed.si();
    const bool closed = idle.pedal != "down";
    const DragTorque drag = neutral_drag(vehicle.gearbox, oil);
    const double input_speed =
        closed ? speed : released_speed(drag, vehicle.release.drag.si(), speed);
    Assembled out = assemble_standing(
        vehicle, {.speed = speed, .input_speed = input_speed, .closed = closed, .oil = oil});
    // A released clutch that drags the gearbox along altogether passes on what the gearbox takes.
    const bool slips = !closed && input_speed < speed;
    const double load = slips ? vehicle.release.drag.si() : drag.at(speed);
    out.line.inputs.push_back(
        {.name = "engine torque",
         .inertia = out.engine,
         .source = crank_torque(vehicle.engine, speed, load, idle.consumers.si())});
    lean_on_power_unit(out);
    return out;
}

}  // namespace damper
