// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <span>

namespace damper {

/// Polynomials Σ c_k s^k over one step, s from 0 to 1, lowest order first; at most
/// `most_polynomial_terms` of them.
inline constexpr std::size_t most_polynomial_terms = 64;

/// Value at s.
[[nodiscard]] double value_at(std::span<const double> c, double s);

/// Value and slope at s.
struct ValueSlope {
    double value = 0.0;
    double slope = 0.0;
};
[[nodiscard]] ValueSlope value_slope_at(std::span<const double> c, double s);

/// Value, slope and half the second derivative at s.
struct Local {
    double value = 0.0, slope = 0.0, half_bend = 0.0;
};
[[nodiscard]] Local local_at(std::span<const double> c, double s);

/// ∫ from 0 to s of p.
[[nodiscard]] double integral_to(std::span<const double> c, double s);

/// Without the last terms that are below the last bit of the first three.
[[nodiscard]] std::span<const double> trimmed(std::span<const double> c);

/// Divides by (s − at): p(s) = remainder + (s − at)·q(s). Writes q, one term shorter, and returns
/// the remainder, which is p(at).
double divide_out(std::span<const double> c, double at, std::span<double> q);

/// The first s in [from, to] at which a polynomial that is positive at `from` falls to zero.
///
/// Steps only where nothing can have happened: with M a bound of the third derivative on [0, to],
/// p''(s + r) is at least p''(s) − M·R for all r ≤ R, so that p(s + r) stays above a parabola that
/// is known, and the walk goes to the first zero of that parabola. Near a simple root the parabola
/// becomes p's own: the root is approached from the safe side, faster than Newton's method would,
/// and none is passed, not even a pair of them close together. A touching minimum is approached
/// until the value is no more than `floor`; then it counts as reached if the slope is negative, and
/// is passed if not.
[[nodiscard]] std::optional<double> first_fall(std::span<const double> c, double from, double to,
                                               double floor);

/// When a guard with this polynomial fires in [from, to]: negative and falling. `floor` is what
/// rounding leaves of a value that should be zero; at `from` such a value is taken as zero and the
/// slope decides whether it rises or falls; `slope_floor` says the same of the slope (friction that
/// has just come to rest has neither a distance from its limit nor a rate).
[[nodiscard]] std::optional<double> firing(std::span<const double> c, double from, double to,
                                           double floor, double slope_floor = 0.0);

}  // namespace damper
