// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <vector>

namespace damper {

/// One second-order section of a digital filter,
///
///     y_n = b0 x_n + b1 x_(n−1) + b2 x_(n−2) − a1 y_(n−1) − a2 y_(n−2)
struct FilterSection {
    double b0 = 1.0, b1 = 0.0, b2 = 0.0;
    double a1 = 0.0, a2 = 0.0;
};

/// Sections that a signal passes one after the other.
using Filter = std::vector<FilterSection>;

/// Low-pass of Butterworth's maximally flat kind, by the bilinear transform, prewarped so that
/// the gain is exactly 1/√2 at `corner` [Hz]; 0 < corner < half the sampling frequency.
/// `order` even, ≥ 2; `step` [s]. Throws ModelError outside these ranges.
///
/// Source: S. Butterworth (1930), On the theory of filter amplifiers, Experimental Wireless &
/// the Wireless Engineer 7, 536–541 (recalled, not read in the source).
[[nodiscard]] Filter butterworth_low_pass(int order, double corner, double step);

/// Gain of a filter for a sine of `frequency` [Hz] sampled every `step` [s].
[[nodiscard]] double gain(const Filter& filter, double frequency, double step);

/// Passes `values` once, forward in time. The filter starts as if the first value had always
/// stood there, so that a steady start makes no transient.
[[nodiscard]] std::vector<double> filter_forward(const Filter& filter,
                                                 std::span<const double> values);

/// Passes `values` forward and then backward: no phase shift, gain squared. Both ends are
/// continued by their point reflection for `margin` samples.
[[nodiscard]] std::vector<double> filter_both_ways(const Filter& filter,
                                                   std::span<const double> values,
                                                   std::size_t margin);

/// Butterworth low-pass without phase shift. `order` belongs to a single pass; the corner of
/// that pass is moved out so that the gain of both passes together is 1/√2 at `corner` [Hz].
/// A corner at or above 0.45 of the sampling frequency leaves nothing to filter: the values
/// come back unchanged.
[[nodiscard]] std::vector<double> low_pass_zero_phase(std::span<const double> values, double step,
                                                      double corner, int order = 2);

}  // namespace damper
