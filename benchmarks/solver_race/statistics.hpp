// SPDX-License-Identifier: MIT
#pragma once

#include "benchmarks/solver_race/drivelines.hpp"
#include <vector>

namespace damper::benchmarks {

/// Runs the rattling drivelines as shipped for a long time with every solver and prints what they
/// say of the rattle: courses part after some fifty impacts, statistics must not.
void print_statistics(const std::vector<RaceCase>& cases, double length);

}  // namespace damper::benchmarks
