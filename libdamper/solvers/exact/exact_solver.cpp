// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/exact_solver.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/solvers/exact/exact_run.hpp"

#include <fmt/format.h>

namespace damper {

std::optional<std::string> exact_forbidden_by(const Driveline& /*line*/) {
    // Piecewise-linear laws are followed from mode to mode, the smooth ones there are have series.
    return std::nullopt;
}

TimeOutcome solve_exact(const Driveline& line, const State& start, const TimeSettings& settings,
                        Sink* sink, const Progress& progress) {
    if (const auto reason = exact_forbidden_by(line)) {
        throw ModelError("the exact solver cannot take this driveline: " + *reason);
    }
    return ExactRun(line, start, settings, sink, progress).run();
}

}  // namespace damper
