// SPDX-License-Identifier: MIT
#include "libdamper/parts/top_speed.hpp"

#include <numbers>

namespace damper {

AngularSpeed top_speed_of(const Vehicle& vehicle) {
    if (vehicle.engine.top_speed.si() > 0.0) return vehicle.engine.top_speed;
    const double rpm = vehicle.vehicle_class == "heavy truck"    ? 2200.0
                       : vehicle.vehicle_class == "medium truck" ? 2800.0
                       : vehicle.vehicle_class == "light van"    ? 4500.0
                                                                 : 6000.0;
    return AngularSpeed::from_si(rpm * std::numbers::pi / 30.0);
}

}  // namespace damper
