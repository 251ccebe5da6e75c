// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/exact_solver.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/solvers/exact/exact_run.hpp"

#include <fmt/format.h>

namespace damper {

std::optional<std::string> exact_forbidden_by(const Driveline& line) {
    if (line.smooth.empty()) return std::nullopt;
    return fmt::format("\"{}\" is a smooth law of its speed ({})", line.smooth.front().name,
                       kind(line.smooth.front().law));
}

TimeOutcome solve_exact(const Driveline& line, const State& start, const TimeSettings& settings,
                        Sink* sink, const Progress& progress) {
    if (const auto reason = exact_forbidden_by(line)) {
        throw ModelError("the exact solver cannot take this driveline: " + *reason);
    }
    return ExactRun(line, start, settings, sink, progress).run();
}

}  // namespace damper
