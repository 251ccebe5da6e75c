// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/linearise.hpp"

#include <Eigen/Dense>
#include <complex>
#include <optional>
#include <vector>

namespace damper {

/// The oscillation that an undamped mode becomes with all damping of the driveline.
struct DampedCounterpart {
    std::complex<double> lambda;  ///< [rad/s]; decays with −Re λ, swings at Im λ > 0.
    Eigen::VectorXcd shape;       ///< φᴴ·M·φ = 1, largest entry of √M·φ real.
    /// |φ_undampedᵀ·M·φ|², 0…1: how much of the undamped shape is left. Below about one half the
    /// two have little more in common than a place in a list.
    double likeness = 0.0;
    /// What each element adds to the damping ratio −Re λ/|λ|: c·|g·φ|²/(2·|λ|). Exact, since
    /// Re λ = −½·φᴴ·C·φ/φᴴ·M·φ for every oscillation; they sum to the damping ratio.
    Eigen::VectorXd damping_share;
    /// ∂λ/∂ln k, ∂λ/∂ln c of each element and ∂λ/∂ln J of each inertia [rad/s]. With D =
    /// φᵀ·(2λ·M + C)·φ (not conjugated: M, C and K are symmetric):
    ///     −k·(g·φ)²/D,   −λ·c·(g·φ)²/D,   −λ²·J·φ²/D.
    Eigen::VectorXcd by_stiffness, by_damping, by_inertia;

    [[nodiscard]] double damping_ratio() const { return -lambda.real() / std::abs(lambda); }
};

/// One way in which the driveline swings by itself.
struct NaturalMode {
    double frequency = 0.0;  ///< Undamped, circular [rad/s], > 0.
    Eigen::VectorXd shape;   ///< φᵀ·M·φ = 1; the largest entry of √M·φ is positive.
    Eigen::VectorXd kinetic_share;  ///< Of each inertia; sums to 1.
    Eigen::VectorXd strain_share;   ///< Of each element; sums to 1.
    /// Change of frequency with stiffness and inertia, ∂ω/∂ln k = ½·ω·strain share and
    /// ∂ω/∂ln J = −½·ω·kinetic share [rad/s]. First order: they hold for changes that move the
    /// frequency by less than its distance from its neighbours.
    Eigen::VectorXd by_stiffness, by_inertia;
    /// Distance from the nearest other mode, relative to this one's frequency; 1 if there is none.
    double gap = 1.0;
    /// So near to a neighbour (gap below `repeated_below`) that the shapes of the two are any
    /// mixture of each other: only sums of their shares and sensitivities mean anything.
    bool repeated = false;
    /// Nothing where damping keeps the mode from swinging.
    std::optional<DampedCounterpart> damped;
};

/// Gap at which a shape turns by a share of itself for changes of stiffness that nobody can tell,
/// 1e-6.
inline constexpr double repeated_below = 1e-6;

struct NaturalModes {
    int rigid_bodies = 0;            ///< Motions without any twist: turning as a whole is one.
    std::vector<NaturalMode> modes;  ///< Rising in frequency.
};

/// Modes about an operating point. Elements that tie inertias by their speeds alone (a rolling
/// tyre on the road) hold them together in the undamped motion: without that they would be no tie
/// at all, and the vehicle no part of the driveline. In the damped one they slip as they do.
/// Undamped and damped modes belong together by the likeness of their shapes, best pair first.
[[nodiscard]] NaturalModes natural_modes(const Linearised& linear);

}  // namespace damper
