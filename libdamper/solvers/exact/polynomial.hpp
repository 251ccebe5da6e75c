// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <span>

namespace damper {

/// Polynomials Σ c_k s^k over one step, s from 0 to 1, lowest order first.

/// Value at s.
[[nodiscard]] double value_at(std::span<const double> c, double s);

/// Value and slope at s.
struct ValueSlope {
    double value = 0.0;
    double slope = 0.0;
};
[[nodiscard]] ValueSlope value_slope_at(std::span<const double> c, double s);

/// ∫ from 0 to s of p.
[[nodiscard]] double integral_to(std::span<const double> c, double s);

/// ∫ from 0 to s of p·q.
[[nodiscard]] double product_integral_to(std::span<const double> p, std::span<const double> q,
                                         double s);

/// The first s in [from, 1] at which a polynomial that is positive at `from` falls to zero.
///
/// Steps only where nothing can have happened: with M ≥ |p''| on [0, 1], p(s + r) is at least
/// p + p'·r − M·r²/2, and the walk goes to the zero of that parabola. Near a simple root the
/// parabola is the tangent, so this is Newton's method from the safe side: quadratic, and it
/// cannot pass a root, not even a pair of them close together. A touching minimum is approached
/// until the value is no more than `floor`; then it counts as reached if the slope is negative,
/// and is passed if not.
[[nodiscard]] std::optional<double> first_fall(std::span<const double> c, double from,
                                               double floor);

/// When a guard with this polynomial fires: negative and falling. `floor` is what rounding leaves
/// of a value that should be zero; at the start such a value is taken as zero and the next
/// coefficient decides whether it rises or falls; `slope_floor` says the same of that coefficient
/// (friction that has just come to rest has neither a distance from its limit nor a rate).
[[nodiscard]] std::optional<double> firing(std::span<const double> c, double floor,
                                           double slope_floor = 0.0);

}  // namespace damper
