// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <string>
#include <vector>

namespace damper {

/// Amplitudes of a signal over engine orders (multiples of crank speed).
struct OrderSpectrum {
    std::string signal;             ///< Name of the signal it was taken from.
    std::string units;              ///< Of the amplitude, as the signal's.
    std::vector<double> order;      ///< Rising, multiples of one half.
    std::vector<double> amplitude;  ///< 0-to-peak, same length.
};

/// Amplitude (0-to-peak) of one order of a uniformly sampled signal.
///
/// Least squares over whole engine cycles (two revolutions) at constant mean speed: mean value,
/// and sine and cosine of the order. Fewer than one whole cycle gives 0.
/// `step` [s], `speed` mean crank speed [rad/s], `order` > 0.
[[nodiscard]] double order_amplitude(std::span<const double> values, double step, double speed,
                                     double order);

/// Amplitudes of the orders ½, 1, 1½ … `highest`.
[[nodiscard]] OrderSpectrum order_spectrum(std::string signal, std::string units,
                                           std::span<const double> values, double step,
                                           double speed, double highest);

}  // namespace damper
