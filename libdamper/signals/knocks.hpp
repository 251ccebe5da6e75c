// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/signals/band_envelope.hpp"

#include <vector>

namespace damper {

/// Knocks that stand out of an envelope.
struct Knocks {
    std::vector<double> time;    ///< Of each top [s].
    std::vector<double> height;  ///< Of the envelope there.
    double threshold = 0.0;      ///< What a top must exceed, in the envelope's unit.
    bool crowded = false;        ///< They follow so closely that some are lost in others.
};

/// Tops of an envelope above what noise reaches once in two seconds. The noise is judged from the
/// quietest fifth of the envelope (Rayleigh: its 20 % point is 0.668·σ), how often it rises through
/// a level by S. O. Rice, Mathematical analysis of random noise, 1944/45 (recalled). Between two
/// tops the envelope must fall to half of the first and rise to twice the lowest; what the band
/// filter makes beside a large knock, and a case that rings on behind it, is left out: lower tops
/// within some milliseconds.
[[nodiscard]] Knocks find_knocks(const Envelope& envelope);

}  // namespace damper
