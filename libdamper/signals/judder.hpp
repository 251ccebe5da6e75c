// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/signals/damped_sine.hpp"

#include <optional>
#include <span>
#include <vector>

namespace damper {

/// Band in which a vehicle judders [Hz]: 5 to 20, D. Centea, H. Rahnejat, M. T. Menday, Non-linear
/// multi-body dynamic analysis for the study of clutch torsional vibrations (judder), Appl. Math.
/// Modelling 25, 2001 (abstract).
inline constexpr double judder_low = 5.0;
inline constexpr double judder_high = 20.0;

/// Judder is looked for from so long [s] after the vehicle has begun to move, which is its own
/// jerk, with this speed [m/s].
inline constexpr double judder_left_out = 0.1;
inline constexpr double judder_moves = 0.01;

/// An acceleration (or a speed) between 5 and 20 Hz, without phase shift: the slow course of a
/// take-up is taken off with what lies below. `step` [s].
[[nodiscard]] std::vector<double> judder_band(std::span<const double> values, double step);

/// The part of such a band that grows, or dies away, evenly: up to half of the largest swing if
/// that comes late, from the largest to a twentieth of it if it comes early. `band` not empty.
[[nodiscard]] std::span<const double> even_part(std::span<const double> band);

/// The growing or dying sine that explains most of that part; nothing if it explains less than
/// 60 % of its squares.
[[nodiscard]] std::optional<DampedSine> judder_sine(std::span<const double> band, double step);

}  // namespace damper
