// SPDX-License-Identifier: MIT
#pragma once

#include "benchmarks/solver_race/race.hpp"
#include <vector>

namespace damper::benchmarks {

/// Arithmetic of an exact run.
struct Work {
    double steps = 0.0;
    double multiply_adds = 0;  ///< Of the whole run.
};

/// As the solver counts it: the recursions of the power series, matrices or elements. Looking for
/// the ends of modes, the engine's torque, books and samples are left out: the floor is what
/// nothing of this method can do without.
[[nodiscard]] Work work_of(const Prepared& prepared, double span);

/// Prints the peaks of the machine and how far above its floor the exact solver is.
void print_floor(const std::vector<RaceResult>& results, const RaceSettings& settings);

}  // namespace damper::benchmarks
