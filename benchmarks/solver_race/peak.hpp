// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

namespace damper::benchmarks {

/// How many multiply-adds of doubles one core does in a second when nothing else is asked of it.
struct Peak {
    std::string kind;    ///< "AVX2, fused"
    double rate = 0.0;   ///< [1/s]
    bool fused = false;  ///< One rounding; the library never fuses (see DEVELOPERS.md).
};

/// Measures every kind that this processor has and this program was made for: independent chains
/// that stay in registers, wide enough to hide how long one addition takes.
[[nodiscard]] std::vector<Peak> measure_peaks();

}  // namespace damper::benchmarks
