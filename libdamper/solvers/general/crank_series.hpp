// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/elements/torque_source.hpp"

#include <array>
#include <vector>

namespace damper {

/// A crank's torque laid out for many evaluations: as a polynomial in exp(i·step·θ), with `step`
/// the largest order of which all others are multiples, cut into four polynomials that do not wait
/// for each other.
class CrankSeries {
  public:
    explicit CrankSeries(const CrankTorque& torque);

    /// Torque at a total crank angle [rad]; [N m].
    [[nodiscard]] double at(double angle) const;

  private:
    /// Real and imaginary part of four neighbouring coefficients.
    struct Four {
        std::array<double, 4> real{};
        std::array<double, 4> imaginary{};
    };
    double step_ = 1.0;
    std::vector<Four> fours_;  ///< Lowest orders first; the very first one is the mean.
};

/// The same of a torque that depends on the speed as well.
class SpeedSeries {
  public:
    explicit SpeedSeries(const SpeedTorque& torque);

    /// Torque at a time [s], a total crank angle [rad] and a speed [rad/s]; [N m].
    [[nodiscard]] double at(double t, double angle, double speed) const;

  private:
    SpeedTorque places_;                            ///< Without harmonics: speeds and times only.
    std::vector<std::vector<CrankSeries>> series_;  ///< Of each map, at each speed.
};

}  // namespace damper
