// SPDX-License-Identifier: MIT
#include "libdamper/assemble/gearbox.hpp"

#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/elements/viscosity.hpp"

#include <cmath>

namespace damper {

namespace {

constexpr double celsius = 273.15;
constexpr double drag_exponent = 0.65;  // common practice 0.5…0.8, no source
constexpr double friction_give = 1e-3;  // rad that a dragging bearing gives before it slips

double viscosity(const Oil& oil, double temperature) {
    return ViscosityLine(40.0 + celsius, oil.viscosity_40.si(), 100.0 + celsius,
                         oil.viscosity_100.si())
        .at(temperature);
}

}  // namespace

double drag_factor(const Gearbox& gearbox, double temperature) {
    return std::pow(viscosity(gearbox.oil, temperature) / gearbox.drag_viscosity.si(),
                    drag_exponent);
}

DragTorque shaft_drag(const Gearbox& gearbox, double temperature) {
    return {.constant = gearbox.shaft_drag_constant.si(),
            .viscous = gearbox.shaft_drag_viscous.si() * drag_factor(gearbox, temperature) /
                       gearbox.drag_speed.si()};
}

DragTorque loose_gear_drag(const Gearbox& gearbox, const GearPair& gear, double temperature) {
    // The viscous part is given at the loose gear's own speed when the input turns at drag_speed.
    const double speed =
        gearbox.drag_speed.si() * (turns_in_neutral(gear) ? 1.0 / gear.ratio.si() : 1.0);
    return {.constant = gear.drag_constant.si(),
            .viscous = gear.drag_viscous.si() * drag_factor(gearbox, temperature) / speed};
}

Law drag_law(const DragTorque& drag) {
    if (drag.constant == 0.0) return linear_spring(0.0, drag.viscous);
    return slider(
        {.limit = drag.constant, .grip = drag.constant / friction_give, .viscous = drag.viscous});
}

bool turns_in_neutral(const GearPair& gear) {
    return gear.loose_on == "output shaft";
}

Law tooth_contact(const Gearbox& gearbox, const GearPair& gear) {
    const double k = gearbox.mesh_stiffness.si();
    return lash(
        {.gap = gear.backlash.si() / gear.pitch_radius.si(),
         .stiffness = k,
         .damping = 2.0 * gearbox.mesh_damping.si() * std::sqrt(k * gear.loose_inertia.si())});
}

}  // namespace damper
