// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/elements/law.hpp"

#include <string>
#include <vector>

namespace damper {

/// One straight piece of a spring characteristic, up to a corner.
struct SpringSegment {
    std::string label;
    double stiffness = 0.0;  ///< [N m/rad], ≥ 0
};

/// A spring whose characteristic is a chain of straight pieces, continuous at the corners and
/// through zero torque at zero twist.
///
/// `segments` from the coast side to the drive side, `corners` [rad] between them, strictly
/// rising, one fewer than segments. A single segment is the ordinary linear spring.
/// Throws ModelError if the counts do not match, corners do not rise or a stiffness is negative
/// or not finite.
[[nodiscard]] Law piecewise_spring(const std::vector<SpringSegment>& segments,
                                   const std::vector<double>& corners);

/// Linear spring with viscous damping in parallel: τ = k·δ + c·δ'.
/// Throws ModelError if k [N m/rad] or c [N m s/rad] is negative or not finite.
[[nodiscard]] Law linear_spring(double k, double c);

}  // namespace damper
