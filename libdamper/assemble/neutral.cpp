// SPDX-License-Identifier: MIT
#include "libdamper/assemble/neutral.hpp"

#include "libdamper/assemble/clutch_side.hpp"

#include <algorithm>

namespace damper {

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

double released_speed(const DragTorque& drag, double clutch_drag, double engine_speed) {
    if (clutch_drag <= drag.constant) return 0.0;
    if (drag.viscous == 0.0) return engine_speed;
    return std::min((clutch_drag - drag.constant) / drag.viscous, engine_speed);
}

Assembled assemble_standing(const Vehicle& vehicle, const StandingAt& at) {
    Assembled out;
    add_clutch_side(out, vehicle,
                    {.engine_speed = at.speed,
                     .input_speed = at.input_speed,
                     .closed = at.closed,
                     .mean_speed = at.mean_speed});
    add_element(out.line, "input shaft drag", "drag", {{out.input_shaft, 1.0}},
                drag_law(shaft_drag(vehicle.gearbox, at.oil)));
    for (const GearPair& gear : vehicle.gearbox.gears) {
        if (!turns_in_neutral(gear)) continue;
        const double ratio = 1.0 / gear.ratio.si();
        add_loose_gear(out, vehicle, gear, out.input_shaft, ratio, ratio, at.oil);
    }
    return out;
}

}  // namespace damper
