// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/exact_solver.hpp"

#include "libdamper/solvers/exact/exact_run.hpp"

#include <optional>

namespace damper {

TimeOutcome solve_exact(const Driveline& line, const State& start, const TimeSettings& settings,
                        Sink* sink, const Progress& progress) {
    return ExactRun(line, start, settings, sink, progress, nullptr, std::nullopt).run();
}

TimeOutcome solve_exact_to(const Driveline& line, const State& start, const TimeSettings& settings,
                           Sink* sink, const AngleStop& stop, StretchWatcher* watcher,
                           const Progress& progress) {
    return ExactRun(line, start, settings, sink, progress, watcher, stop).run();
}

}  // namespace damper
