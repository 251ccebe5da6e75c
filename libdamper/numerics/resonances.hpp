// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <span>
#include <vector>

namespace damper {

/// A peak of a magnitude over frequency.
struct Resonance {
    double frequency = 0.0;  ///< Of the top, in the unit of the abscissa.
    double peak = 0.0;       ///< Magnitude there.
    /// Half the width at peak/√2 (−3 dB) over the frequency: the damping ratio of a lone, lightly
    /// damped mode (to first order in it). NaN if the curve does not fall that far on both sides
    /// before it rises again, jumps, or the band ends.
    double damping = 0.0;
};

/// The peaks of `magnitude` inside a band, rising in frequency. `frequencies` rising, positive,
/// at least three: dense enough that each peak shows as a value above both neighbours. Tops and
/// flanks are then found with the function itself to 1e-9 of the frequency.
///
/// A ripple of less than 1e-6 of its height is no peak.
[[nodiscard]] std::vector<Resonance> resonances(const std::function<double(double)>& magnitude,
                                                std::span<const double> frequencies);

}  // namespace damper
