// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/quasi_static.hpp"

#include <vector>

namespace damper {

/// What a spring with friction is to a twist x̄ + A·sin φ: the first harmonic of its torque over a
/// settled cycle,
///
///     τ ≈ mean + (in_phase·sin φ + quadrature·cos φ)·A
///
///     in_phase   K'  = 1/(πA)·∮ τ sin φ dφ
///     quadrature K'' = 1/(πA)·∮ τ cos φ dφ = (work of the cycle)/(πA²)
///
/// so that it acts like a stiffness K' with a damping K''/ω beside it (describing function,
/// harmonic linearisation). The torque goes in straight pieces over the twist, whose integrals are
/// closed: nothing is sampled. Higher harmonics are left out, and with them the error: for pure dry
/// friction they hold 1/9 + 1/25 + … ≈ 23 % of the square of the torque's swing beside the first.
///
/// Background: N. M. Krylov, N. N. Bogoliubov, Introduction to Non-Linear Mechanics, 1943
/// (recalled).
struct FirstHarmonic {
    double mean_twist = 0.0;   ///< x̄ [rad]
    double amplitude = 0.0;    ///< A [rad]
    double mean_torque = 0.0;  ///< [N m]
    double in_phase = 0.0;     ///< K' [N m/rad]
    double quadrature = 0.0;   ///< K'' [N m/rad]
};

/// An element that swings about the torque it carries in the mean. Damping by rate is left out: it
/// is linear and goes beside.
class SwingingElement {
  public:
    /// Starts each time at rest under `mean_torque` [N m] with friction relaxed; what a stuck
    /// washer holds at rest depends on a past that is not told. Copies `branch`.
    /// Throws ModelError if a torque other than 0 cannot be held at rest.
    SwingingElement(const Branch& branch, double mean_torque);

    /// About a mean twist that is told [rad]. Throws ModelError unless amplitude > 0 [rad],
    /// SolverError if the cycle does not settle.
    [[nodiscard]] FirstHarmonic about(double mean_twist, double amplitude);
    /// About the mean twist at which the mean torque is that of the start: an unequal drive and
    /// coast side shift it as the swing grows.
    [[nodiscard]] FirstHarmonic at(double amplitude);

    /// Twist at rest under the mean torque [rad].
    [[nodiscard]] double rest_twist() const { return rest_twist_; }

  private:
    QuasiStatic motion_;
    std::vector<QuasiStatic::Piece> up_, down_;
    double mean_torque_ = 0.0;
    double rest_twist_ = 0.0;
};

}  // namespace damper
