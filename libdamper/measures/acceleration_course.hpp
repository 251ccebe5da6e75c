// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"

#include <cstddef>
#include <span>

namespace damper {

/// The vehicle's acceleration over a whole run with a change of torque: what filters without phase
/// shift must see at once.
struct AccelerationCourse {
    const RunFacts& facts;
    std::span<const double> acceleration;  ///< From the start of the run on [m/s2].
    double step = 0.0;                     ///< Spacing of the samples [s]; 0 with fewer than two.
    std::size_t first = 0;                 ///< First sample of the change; one past the last: none.
};

}  // namespace damper
