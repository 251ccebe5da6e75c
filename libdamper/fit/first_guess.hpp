// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/fit/loop_shape.hpp"
#include "libdamper/fit/skeleton.hpp"

#include <vector>

namespace damper {

/// A disc to begin the search with.
struct FirstGuess {
    LoopShape shape;
    LoopReach reach;
    double zero_twist = 0.0;  ///< Where the skeleton carries no torque [rad]
    double score = 0.0;       ///< Information criterion of the straight pieces; smaller is better
};

/// Discs of so many stages that the straight pieces of a skeleton may belong to, best first: each
/// side of zero torque is cut into one piece more and more; the last piece of a side is a stage or
/// the stop. At most `most` without and as many with a stop.
[[nodiscard]] std::vector<FirstGuess> first_guesses(const Skeleton& skeleton, int stages,
                                                    std::size_t most);

}  // namespace damper
