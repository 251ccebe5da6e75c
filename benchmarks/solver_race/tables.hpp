// SPDX-License-Identifier: MIT
#pragma once

#include "benchmarks/solver_race/race.hpp"
#include <vector>

namespace damper::benchmarks {

/// Markdown tables on standard output, fit to be pasted into benchmarks/README.md.

void print_machine();
/// Every tolerance of every solver on one driveline.
void print_race(const RaceResult& result, const RaceSettings& settings);
/// One line a driveline: times at matched error and how many times the exact solver's they are.
void print_matched(const std::vector<RaceResult>& results, const RaceSettings& settings);
/// CVODE at 1e-6, whatever its error.
void print_fixed(const std::vector<RaceResult>& results);
/// What the most gears cost over the fewest.
void print_gear_cost(const std::vector<RaceResult>& results);

}  // namespace damper::benchmarks
