// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace damper {

/// Trajectories through the unit cube that change one input at a time: M. D. Morris, "Factorial
/// sampling plans for preliminary computational experiments", Technometrics 33 (1991) 161–174,
/// section 3, with four levels (1/8, 3/8, 5/8, 7/8 of the range, so that no point lies on an
/// unbounded end) and steps of half the range.
class MorrisDesign {
  public:
    /// At least one input and one trajectory; throws ModelError.
    MorrisDesign(std::size_t inputs, std::size_t trajectories, std::uint64_t seed);

    static constexpr double step = 0.5;
    [[nodiscard]] std::size_t points() const { return trajectories_ * (inputs_ + 1); }
    /// Coordinates of a point, each strictly between 0 and 1. Depends on its number alone.
    [[nodiscard]] std::vector<double> point(std::uint64_t index) const;

  private:
    std::size_t inputs_;
    std::size_t trajectories_;
    std::uint64_t seed_;
};

/// What the elementary effects of one input say.
struct ElementaryEffects {
    double mean = 0.0;           ///< μ: of the effects.
    double mean_absolute = 0.0;  ///< μ*: of their magnitudes (F. Campolongo, J. Cariboni,
                                 ///< A. Saltelli, Environ. Model. Softw. 22 (2007) 1509–1518).
    double deviation = 0.0;      ///< σ: large beside μ* where the input interacts or bends.
    std::size_t effects = 0;     ///< How many there were.
};

/// From the values at the points of a design; effects per whole range of an input. A value that is
/// not a number leaves out the effects it takes part in.
[[nodiscard]] std::vector<ElementaryEffects> elementary_effects(const MorrisDesign& design,
                                                                std::size_t inputs,
                                                                std::span<const double> values);

}  // namespace damper
