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

/// Amplitude (0-to-peak) of one order of a signal over crank angle.
///
/// Least squares over whole engine cycles (two revolutions) of the angle that belongs to each
/// value: mean value, and cosine and sine of order·angle; see order_fit.hpp. Fewer than one whole
/// cycle gives 0. `angle` [rad], rising, as many as values; `order` a multiple of one half, > 0.
[[nodiscard]] double order_amplitude(std::span<const double> values, std::span<const double> angle,
                                     double order);

/// Amplitudes of the orders ½, 1, 1½ … `highest`; empty with fewer than one whole cycle.
[[nodiscard]] OrderSpectrum order_spectrum(std::string signal, std::string units,
                                           std::span<const double> values,
                                           std::span<const double> angle, double highest);

}  // namespace damper
