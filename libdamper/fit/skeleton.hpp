// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/fit/bench_run.hpp"

#include <cstddef>
#include <vector>

namespace damper {

/// Mean of both ways and half their distance over twist, in bins.
struct Skeleton {
    struct Bin {
        double twist = 0.0;     ///< [rad]
        double torque = 0.0;    ///< Mean of rising and falling [N m]
        double half = 0.0;      ///< Half of rising minus falling: the friction limit [N m]
        double variance = 1.0;  ///< Of each of the two [(N m)²]
    };
    std::vector<Bin> bins;  ///< Rising in twist.
};

/// The skeleton of one run, without the bins at the turning points. Empty bins are left out.
[[nodiscard]] Skeleton skeleton_of(const GroupedRun& run);

/// Skeletons of several runs as one: each twist is taken from the run that knows it best, the
/// others are shifted in torque so that they agree with the first one where both have bins.
[[nodiscard]] Skeleton joined(const std::vector<Skeleton>& parts);

/// The same from the runs, in any order.
[[nodiscard]] Skeleton skeleton_of_all(const std::vector<GroupedRun>& runs);

/// A straight piece of a skeleton.
struct SkeletonPiece {
    std::size_t begin = 0, end = 0;     ///< Bins [begin, end)
    double slope = 0.0, at_zero = 0.0;  ///< torque = at_zero + slope · twist
    double half = 0.0;                  ///< Mean half width of the loop [N m]
};

/// The best `pieces` straight pieces, each with a width of its own, found by dynamic programming.
struct SkeletonCut {
    std::vector<SkeletonPiece> pieces;
    double sum_of_squares = 0.0;  ///< In standard deviations
};

/// Cuts with 1, 2 … `most` pieces, as far as there are bins enough.
///
/// Source of the recursion: R. Bellman, On the approximation of curves by line segments using
/// dynamic programming, Comm. ACM 4(6), 1961, 284 (citation recalled).
[[nodiscard]] std::vector<SkeletonCut> cuts_of(const std::vector<Skeleton::Bin>& bins,
                                               std::size_t most);

}  // namespace damper
