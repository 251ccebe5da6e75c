// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace damper {

/// Value at `at` of the cubic through the four points around it, whose abscissae rise and need not
/// be even; near an end through the four points there. `x` and `y` of the same size, at least 4;
/// `hint` is an index below `at` to begin the search with, and becomes the one that was used.
/// Beyond the ends the cubic goes on: the caller keeps `at` inside.
[[nodiscard]] double four_point(std::span<const double> x, std::span<const double> y, double at,
                                std::size_t& hint);

/// Values from `from` on, every `step`; before the first and behind the last value these.
[[nodiscard]] std::vector<double> four_point_at_steps(std::span<const double> x,
                                                      std::span<const double> y, double from,
                                                      double step, std::size_t count);

/// What four_point leaves of a sine of amplitude 1 at worst, as an error: halfway between points
/// `turn` [rad of the sine] apart, 1 − (9/8·cos(turn/2) − 1/8·cos(3·turn/2)); 1 from half a period
/// (turn = π) on. Closed form: the weights halfway are −1/16, 9/16, 9/16, −1/16 (Lagrange).
[[nodiscard]] double cubic_error(double turn);

/// The same for straight lines between the points: 1 − cos(turn/2).
[[nodiscard]] double linear_error(double turn);

}  // namespace damper
