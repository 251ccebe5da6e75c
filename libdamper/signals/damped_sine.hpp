// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <span>

namespace damper {

/// level + slope·t + amplitude·e^(−decay·t)·cos(2π frequency·t + phase), t from the first value.
struct DampedSine {
    double level = 0.0;
    double slope = 0.0;      ///< [1/s]
    double amplitude = 0.0;  ///< At t = 0, ≥ 0
    double decay = 0.0;      ///< [1/s]; negative: grows
    double frequency = 0.0;  ///< Damped, [Hz]
    double phase = 0.0;      ///< [rad]
    double explained = 0.0;  ///< Share of the squares about the straight line that it explains.

    /// Logarithmic decrement: ln of the ratio of two successive tops.
    [[nodiscard]] double log_decrement() const { return decay / frequency; }
    /// Damping ratio ζ of the oscillator that has this decrement.
    [[nodiscard]] double damping_ratio() const;
};

/// Fits by least squares: a search over frequencies from `lowest` to `highest` [Hz], then
/// Levenberg's method from the best of them. `step` [s] > 0. Nothing comes back if there are fewer
/// than 16 values, less than 1.5 periods of `highest`, or if the search ends outside its range.
[[nodiscard]] std::optional<DampedSine> fit_damped_sine(std::span<const double> values, double step,
                                                        double lowest, double highest);

}  // namespace damper
