// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/signals/crank_angle.hpp"

#include <complex>
#include <span>
#include <string>
#include <vector>

namespace damper {

/// Torque of one cylinder over an engine cycle, about its own top dead centre of firing, in any
/// one unit: Σ Re(a_m·e^(j·m·angle/2)), m = 0, 1, 2 …
struct CylinderPulse {
    std::vector<std::complex<double>> heat;  ///< What the burning adds.
    std::vector<std::complex<double>> rest;  ///< Compression, expansion and masses without it.
};

/// A pulse from torques at even crank angles over 720°, the first value at top dead centre of
/// firing: with burning and without. Harmonics up to `most`.
[[nodiscard]] CylinderPulse pulse_of(std::span<const double> with_heat,
                                     std::span<const double> without_heat, int most);

/// A pulse for an engine of which nothing is known, at idle: polytropic compression and expansion
/// (exponent 1.32, ratio 14, crank over rod 0.3), pressure doubled by the burning at top dead
/// centre. Common practice, no source: good for phases, and for shares within a third.
[[nodiscard]] CylinderPulse typical_pulse(int most);

/// How the cylinders differ.
struct CylinderBalance {
    /// Of each in the order of firing, from the first top dead centre at or after angle 0 of the
    /// recording: heat over the mean, less 1.
    std::vector<double> share;
    std::vector<double> half_width;  ///< 95 %, from the scatter of the stretches.
    double first_firing = 0.0;       ///< Angle of the first of them [rad].
    bool known = false;              ///< The orders below the firing order rise over their scatter.
};

/// Heat of each cylinder from the orders ½, 1 … up to half as many orders as there are cylinders,
/// with evenly spaced firing.
///
/// A cylinder that burns g_k instead of the mean adds g_k·heat at its own angle; below the firing
/// order only the differences are left, Σ g_k·e^(−j·m·ψ_k/2)·heat_m, and a discrete Fourier
/// transform back over the cylinders gives g_k. Where the firings are, and how strong their mean
/// is, the firing order tells; the inertia drops out.
///
/// What cannot be told: which cylinder is the first (no mark of its top dead centre is in a speed);
/// a loss that all share; and what bends the low orders other than torque: a soft idle stage that
/// resonates near ½ order takes from or adds to its share. Shares are relative to `pulse`: how
/// its heat stands to its compression goes into their size, not into their order. A wheel on the
/// crank does not tell the two revolutions of a cycle apart.
///
/// `blocks`: orders of the flywheel's speed, aligned to the firing order. `cylinders` 2 to 16.
/// Without enough orders or stretches `share` is empty.
[[nodiscard]] CylinderBalance cylinder_balance(const OrderBlocks& blocks, int cylinders,
                                               const CylinderPulse& pulse);

}  // namespace damper
