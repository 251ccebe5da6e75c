// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/fit/loop_problem.hpp"
#include "libdamper/fit/skeleton.hpp"

#include <memory>
#include <vector>

namespace damper {

/// One disc that was tried.
struct TriedDisc {
    int stages = 0;
    LoopReach reach;
    LoopExtras extras;
    double sum_of_squares = 0.0;  ///< Of the groups, in standard deviations
    int unknowns = 0;
    double criterion = 0.0;  ///< Smaller is better
};

/// The disc that the loops speak for.
struct FoundDisc {
    LoopShape shape;
    double zero_twist = 0.0;
    LoopReach reach;
    LoopExtras extras;
    std::vector<TriedDisc> tried;  ///< Best first
};

/// Searches discs of 1 to 6 stages with and without stops reached, with and without play and
/// preload of the first stage, and takes the one with the smallest n·ln(S/n) + p·ln n: n groups
/// less what their errors have in common, S the sum of squares, p unknowns.
///
/// Source: G. Schwarz, Estimating the dimension of a model, Ann. Statist. 6(2), 1978, 461–464
/// (citation recalled). `stages`: so many, or 0 for the data to choose. Throws InputError (without
/// place) if the loops do not suffice for any.
[[nodiscard]] FoundDisc search_disc(const std::vector<GroupedRun>& runs, const BenchErrors& errors,
                                    const Skeleton& skeleton, int stages);

/// Errors of the groups before any disc is known: slopes from the skeletons.
[[nodiscard]] BenchErrors first_errors(const std::vector<GroupedRun>& runs,
                                       const std::vector<double>& torque_zero);

/// Share by which neighbouring residuals are alike (correlation of neighbours), 0…0.95.
[[nodiscard]] double likeness_of_neighbours(const double* residuals, std::size_t count);

}  // namespace damper
