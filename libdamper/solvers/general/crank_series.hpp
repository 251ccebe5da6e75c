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

}  // namespace damper
