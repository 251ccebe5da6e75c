// SPDX-License-Identifier: MIT
#include "libdamper/clutch/start.hpp"

#include <cmath>
#include <numbers>

namespace damper {

StartHeat heat_of(const Start& start) {
    const double slip = start.engine_speed - start.input_speed;
    const double deceleration = (start.clutch_torque - start.engine_torque) / start.engine_inertia +
                                (start.clutch_torque - start.load_torque) / start.vehicle_inertia;
    if (!(deceleration > 0.0)) return {};
    StartHeat heat;
    heat.sticks = true;
    heat.slip_time = slip / deceleration;
    heat.first_power = start.clutch_torque * slip;
    heat.energy = 0.5 * heat.first_power * heat.slip_time;
    heat.input_speed = start.input_speed + (start.clutch_torque - start.load_torque) /
                                               start.vehicle_inertia * heat.slip_time;
    return heat;
}

double face_rise(double flux, double slip_time, double effusivity, double time) {
    return 2.0 * flux / effusivity * std::sqrt(time / std::numbers::pi) *
           (1.0 - 2.0 * time / (3.0 * slip_time));
}

double largest_face_rise(double flux, double slip_time, double effusivity) {
    return face_rise(flux, slip_time, effusivity, 0.5 * slip_time);
}

}  // namespace damper
