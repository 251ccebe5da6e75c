// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <vector>

namespace damper {

/// A recording at equal steps of time, smoothed, with its slope.
struct Resampled {
    double start = 0.0;         ///< Time of the first value [s].
    double step = 0.0;          ///< [s]
    std::vector<double> value;  ///< In the unit of the recording.
    std::vector<double> slope;  ///< The same per second.
};

/// Shortest stretch of a recording that a cut-off [Hz] leaves something of: its ends are lost,
/// because the filter looks so far to both sides [s].
[[nodiscard]] double lost_at_each_end(double cut_off);

/// Values at equal steps of at most `step` [s] from a recording at rising times [s], without what
/// swings faster than `cut_off` [Hz], and the slope of the same curve.
///
/// A windowed sinc is laid over the recording. What swings at up to 0.9 of the cut-off passes, to
/// 1e-4 of its amplitude; from 1.1 of it on the same share is left. Uneven times are first brought
/// to even ones by piecewise cubics (modified Akima slopes); that asks for some twenty values a
/// period of what is to be seen. Window: F. J. Harris, On the use of windows for harmonic analysis
/// with the discrete Fourier transform, 1978, table 1, four-term Blackman-Harris (recalled).
///
/// Throws ModelError if times do not rise, are fewer than four, span no more than both lost ends,
/// or lie wider apart anywhere than half a period of the cut-off.
[[nodiscard]] Resampled resample(std::span<const double> time, std::span<const double> value,
                                 double cut_off, double step);

}  // namespace damper
