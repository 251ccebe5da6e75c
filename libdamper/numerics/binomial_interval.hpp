// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>

namespace damper {

struct ShareInterval {
    double share = 0.0;  ///< hits / trials
    double low = 0.0;
    double high = 1.0;
};

/// The share behind a count of independent trials, in an interval that holds it with at least the
/// confidence, whatever the share (C. J. Clopper, E. S. Pearson, "The use of confidence or fiducial
/// limits illustrated in the case of the binomial", Biometrika 26 (1934) 404–413).
/// 0 ≤ hits ≤ trials, 0 < confidence < 1; throws ModelError. Without trials: 0…1.
[[nodiscard]] ShareInterval share_interval(std::int64_t hits, std::int64_t trials,
                                           double confidence = 0.95);

}  // namespace damper
