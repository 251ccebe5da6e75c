// SPDX-License-Identifier: MIT
#include "libdamper/assemble/assemble.hpp"
#include "libdamper/assemble/clutch_side.hpp"
#include "libdamper/assemble/engine.hpp"
#include "libdamper/assemble/gearbox.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

/// Drag of everything that turns in neutral, referred to the input shaft.
DragTorque neutral_drag(const Gearbox& gearbox, double oil_temperature) {
    DragTorque sum = shaft_drag(gearbox, oil_temperature);
    for (const GearPair& gear : gearbox.gears) {
        if (!turns_in_neutral(gear)) continue;
        const double ratio = 1.0 / gear.ratio.si();
        const DragTorque drag = loose_gear_drag(gearbox, gear, oil_temperature);
        sum.constant += drag.constant * ratio;
        sum.viscous += drag.viscous * ratio * ratio;
    }
    return sum;
}

/// Speed to which the released clutch's drag turns the gearbox.
double released_speed(const DragTorque& drag, double clutch_drag, double engine_speed) {
    if (clutch_drag <= drag.constant) return 0.0;
    if (drag.viscous == 0.0) return engine_speed;
    return std::min((clutch_drag - drag.constant) / drag.viscous, engine_speed);
}

}  // namespace

Assembled assemble_idle(const Vehicle& vehicle, const Idle& idle, const Conditions& conditions) {
    const double oil = conditions.gearbox_oil.si();
    const double speed = idle.speed.si() > 0.0 ? idle.speed.si() : vehicle.engine.idle_speed.si();
    const bool closed = idle.pedal != "down";
    const DragTorque drag = neutral_drag(vehicle.gearbox, oil);
    const double input_speed =
        closed ? speed : released_speed(drag, vehicle.release.drag.si(), speed);

    Assembled out;
    add_clutch_side(out, vehicle, speed, input_speed, closed);
    add_element(out.line, "input shaft drag", "drag", {{out.input_shaft, 1.0}},
                drag_law(shaft_drag(vehicle.gearbox, oil)));
    for (const GearPair& gear : vehicle.gearbox.gears) {
        if (!turns_in_neutral(gear)) continue;
        const double ratio = 1.0 / gear.ratio.si();
        add_loose_gear(out, vehicle, gear, out.input_shaft, ratio, ratio, oil);
    }
    // A released clutch that drags the gearbox along altogether passes on what the gearbox takes.
    const bool slips = !closed && input_speed < speed;
    const double load = slips ? vehicle.release.drag.si() : drag.at(speed);
    out.line.inputs.push_back(
        {.name = "engine torque",
         .inertia = out.engine,
         .source = crank_torque(vehicle.engine, speed, load, idle.consumers.si())});
    return out;
}

}  // namespace damper
