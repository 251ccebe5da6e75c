// SPDX-License-Identifier: MIT
#pragma once

#include "benchmarks/solver_race/race.hpp"
#include <vector>

namespace damper::benchmarks {

/// Estimated arithmetic of an exact run.
struct Work {
    double orders = 0.0;       ///< Of the series in a step.
    double width = 0.0;        ///< Inertias that are coupled, in the mean.
    double per_step = 0.0;     ///< Multiply-adds.
    double multiply_adds = 0;  ///< Of the whole run.
};

/// The one place where the work is estimated. The solver tells its steps only, so
///
///     multiply-adds = steps · orders · (8·(w − 1) + 2·w)
///
/// with w the mean, over samples, of how many inertias are coupled: engine, input shaft and the
/// gears whose teeth press. They hang together by w − 1 elements, and in each order of the series
/// an element takes its twist and rate from two inertias (4), its torque from these (2) and gives
/// it to two inertias (2); each inertia has two recursions. Full matrices would take 2·w² + 2·w.
/// `orders` is where the series of a motion that turns by 2 rad in a step, which is how the steps
/// are chosen, falls below the last bit. Looking for the ends of modes, the engine's torque, books
/// and samples are left out: the floor is what nothing of this method can do without.
[[nodiscard]] Work estimated_work(const Prepared& prepared, double span);

/// Prints the peaks of the machine and how far above its floor the exact solver is.
void print_floor(const std::vector<RaceResult>& results, const RaceSettings& settings);

}  // namespace damper::benchmarks
