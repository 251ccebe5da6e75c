// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/elements/law.hpp"
#include "libdamper/parts/gearbox.hpp"

namespace damper {

/// Drag of one shaft or gear at the present oil temperature: constant plus proportional to speed.
struct DragTorque {
    double constant = 0.0;  ///< [N m], ≥ 0
    double viscous = 0.0;   ///< [N m s/rad], ≥ 0
    [[nodiscard]] double at(double speed) const { return constant + viscous * speed; }
};

/// How much the viscous drag differs from the one at the gearbox's reference: the viscosity of the
/// oil that is in it at `temperature` [K], over the reference viscosity, to the power 0.65.
/// The exponent is common practice (0.5…0.8), no source.
[[nodiscard]] double drag_factor(const Gearbox& gearbox, double temperature);

/// Drag of the input shaft side and of a loose gear at oil temperature [K].
[[nodiscard]] DragTorque shaft_drag(const Gearbox& gearbox, double temperature);
[[nodiscard]] DragTorque loose_gear_drag(const Gearbox& gearbox, const GearPair& gear,
                                         double temperature);

/// The drag as a law against the housing: friction that slips while it turns, plus damping.
[[nodiscard]] Law drag_law(const DragTorque& drag);

/// Whether a gear's loose gear turns with the input shaft in neutral.
[[nodiscard]] bool turns_in_neutral(const GearPair& gear);

/// Play and tooth contact of a gear pair, at its loose gear.
[[nodiscard]] Law tooth_contact(const Gearbox& gearbox, const GearPair& gear);

}  // namespace damper
