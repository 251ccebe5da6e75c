// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/run_view.hpp"

namespace damper {

/// What the loose gears do at idle: whether they can lift off, and how often and how hard they
/// strike. Fills `Measured::gear_impacts`.
void measure_rattle(const RunView& run, Measured& measured);

/// J·u·α̂/T: inertia torque of a loose gear at the input shaft's acceleration amplitude α̂ [rad/s2]
/// over the drag that holds it; the gear lifts off its driver where this passes 1. 0 for a gear
/// without drag.
///
/// Source of the criterion: T. G. Brosey, R. L. Seaman, C. E. Johnson, R. F. Hamilton (1986),
/// Effect of transmission design on gear rattle and shiftability, Int. J. Vehicle Design 7(1/2),
/// 45–66 (abstract read: input acceleration, inertia and drag decide). The value 1 follows from
/// the gear's equation of motion.
[[nodiscard]] double threshold_ratio(const RunFacts::LooseGear& gear, double amplitude);

/// |Σ E_i e^(jφ_i)|/Σ E_i over the energies lost, φ_i the phase of the firing at the time of the
/// impact: 1 if all impacts fall on the same phase, near 0 if they are spread evenly; 0 without
/// impacts. `firing` [rad/s].
[[nodiscard]] double modulation(const std::vector<Impact>& impacts, double firing);

}  // namespace damper
