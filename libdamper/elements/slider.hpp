// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/elements/law.hpp"

namespace damper {

/// Dry friction: a spring `grip` in series with a slider that gives way at `limit`, optionally
/// with `play` before the slider is taken along.
///
///     sticking  τ = grip·(δ − z)     while |τ| ≤ limit; z rests
///     slipping  τ = ±limit           while ±δ' ≥ 0;    z = δ ∓ limit/grip
///     in play   τ = 0                while |δ − z| ≤ play/2 (then grip acts on what is beyond)
///
/// δ is the twist [rad], τ the torque that opposes it [N m], z where the slider rests [rad]. The
/// torque is continuous. Without play a settled cycle of ±Φ takes out 4·limit·(Φ − limit/grip)
/// joule, nothing if Φ ≤ limit/grip; with play Φ loses another play/2.
///
/// Source: W. D. Iwan, A distributed-element model for hysteresis and its steady-state dynamic
/// response, J. Appl. Mech. 33(4), 1966, 893–900: one elastoplastic element (citation recalled,
/// the figures in the tests are derived).
struct Slider {
    double limit = 0.0;    ///< Torque at which it gives way [N m], > 0.
    double grip = 0.0;     ///< Stiffness before it does [N m/rad], > 0.
    double play = 0.0;     ///< Twist without torque after a reversal [rad], ≥ 0.
    double viscous = 0.0;  ///< Damping in parallel, in every mode [N m s/rad], ≥ 0.
};

/// Modes 0 sticking, 1 slipping up, 2 slipping down (and 3 in play, 4 sticking down, with play;
/// then 0 is sticking up). Throws ModelError if a value is out of its range or not finite.
[[nodiscard]] Law slider(const Slider& values);

}  // namespace damper
