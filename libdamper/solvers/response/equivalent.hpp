// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/linearise.hpp"
#include "libdamper/numerics/dynamic_stiffness.hpp"
#include "libdamper/solvers/response/first_harmonic.hpp"

#include <complex>
#include <cstddef>
#include <vector>

namespace damper {

/// A swing at which an element with friction and a driveline agree.
struct EquivalentSwing {
    double amplitude = 0.0;   ///< Of the element's twist [rad].
    double mean_twist = 0.0;  ///< [rad]
    double stiffness = 0.0;   ///< K'(A) [N m/rad]
    double damping = 0.0;     ///< K''(A)/ω and the element's own [N m s/rad]
    /// How far the swing that the driveline answers with is from the one assumed, as a share of it.
    double mismatch = 0.0;
    /// A motion between two others, from which any push leads away; a run in time never stays on
    /// it.
    bool passing = false;
};

/// A linear driveline with one element that is not: its stiffness and damping are those of the
/// first harmonic at the amplitude met (equivalent linearisation).
///
/// With the element taken out, the twist without it δ₀ and the twist per torque in it s follow from
/// two solutions at each frequency; the twist with it is then δ = δ₀/(1 + κ·s) with
/// κ = K'(A) + i(K''(A) + ω·c), and the amplitude is a root of |δ(A)| = A. All roots are looked for
/// over amplitudes from 1e-9 to 10 rad, twenty to a decade: there may be three, where the swing
/// depends on which side one comes from (a jump). Two roots nearer than a twentieth of a decade
/// are taken for none.
class EquivalentLine {
  public:
    /// `branch` is what stands at `element` of `linear`; `mean_torque` [N m] is what it carries in
    /// the mean. Throws what SwingingElement throws.
    EquivalentLine(Linearised linear, const Branch& branch, std::size_t element,
                   double mean_torque);

    /// Rising in amplitude; the odd ones are held, those between them passing. Never empty: below
    /// the amplitudes looked at friction sticks and the element is linear.
    /// `torque` [N m] acts on the inertias with the circular frequency [rad/s].
    [[nodiscard]] std::vector<EquivalentSwing> swings(double frequency,
                                                      const Eigen::VectorXcd& torque);

    /// The driveline with the element as it is in that swing.
    [[nodiscard]] Linearised with(const EquivalentSwing& swing) const;

    /// The first harmonic at an amplitude, from which everything follows.
    [[nodiscard]] FirstHarmonic harmonic(double amplitude) { return element_.at(amplitude); }

  private:
    struct Open {
        double frequency = 0.0;
        std::complex<double> twist;       ///< Without the element [rad].
        std::complex<double> compliance;  ///< Twist per torque in it [rad/(N m)].
    };
    [[nodiscard]] double met(const Open& open, const FirstHarmonic& harmonic) const;
    [[nodiscard]] EquivalentSwing swing(const Open& open, const FirstHarmonic& harmonic) const;
    [[nodiscard]] FirstHarmonic root(const Open& open, double low, double high);

    Linearised linear_;
    std::size_t index_;
    double own_damping_;
    SwingingElement element_;
    DynamicStiffness without_;
    std::vector<FirstHarmonic> table_;  ///< Over the amplitude.
};

}  // namespace damper
