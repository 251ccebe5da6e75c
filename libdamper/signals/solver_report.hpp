// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/signals/start_and_stop.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace damper {

/// How a solver fared. Plain numbers; wording belongs to the outputs.
struct SolverReport {
    std::string method;      ///< "general: Runge–Kutta 5(4) with guards".
    double tolerance = 0.0;  ///< Relative, as asked for.
    double end_time = 0.0;   ///< Reached [s].
    std::int64_t steps = 0;  ///< Accepted.
    std::int64_t rejected = 0;
    std::int64_t evaluations = 0;  ///< Of the equations of motion.
    std::int64_t mode_changes = 0;
    std::int64_t multiply_adds = 0;  ///< Of the motion alone, where the solver counts them.
    double smallest_step = 0.0;      ///< [s]
    bool complete = false;           ///< Reached the end that was asked for.
    std::vector<std::string> warnings;
    StartReport start = {};
    StopReport stop = {};
};

}  // namespace damper
