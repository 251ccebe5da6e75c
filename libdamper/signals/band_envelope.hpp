// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <vector>

namespace damper {

/// How strong a band of frequencies is from instant to instant.
struct Envelope {
    double step = 0.0;          ///< [s]; the first value stands at the time of the first sample.
    double bandwidth = 0.0;     ///< Of the band, between its half-amplitude points [Hz].
    double lost = 0.0;          ///< At each end, where the band filter looks past the signal [s].
    std::vector<double> value;  ///< Magnitude, in the signal's unit: 1 for a sine of amplitude 1.
};

/// Magnitude of the analytic signal (Hilbert) of what lies between `low` and `high` [Hz], by
/// Fourier transform: the band is cut out with cosine flanks, 10 % of its width each, moved down to
/// zero and transformed back with as few values as its square needs (twice the bandwidth), so that
/// nothing is aliased. Long signals go in overlapping blocks; the result does not depend on them
/// but for the tails of the filter (1e-3).
///
/// `step` > 0 [s]; 0 ≤ low < high ≤ 1/(2·step). Throws ModelError outside these ranges.
/// Source of the method: J. S. Bendat, A. G. Piersol, Random Data, 4th ed. 2010, chapter 13
/// (Hilbert transforms; recalled).
[[nodiscard]] Envelope band_envelope(std::span<const double> values, double step, double low,
                                     double high);

}  // namespace damper
