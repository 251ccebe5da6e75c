// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/base/progress.hpp"
#include "libdamper/signals/start_and_stop.hpp"

#include <cstdint>

namespace damper {

/// How a periodic start is looked for. Work is counted in engine cycles that are run through, so
/// that what is found does not depend on the processor.
struct PeriodicStartSettings {
    std::int64_t first_settling = 4;  ///< Engine cycles before the shortest period is tried, ≥ 1.
    std::int64_t then_settling = 8;   ///< More of them before all periods are tried, ≥ 1.
    std::int64_t longest_period = 4;  ///< In engine cycles, ≥ 1; half and a quarter of it as well.
    std::int64_t most_cycles = 160;   ///< Engine cycles altogether.
};

/// Where a run of an idling engine starts.
struct PeriodicStart {
    State state;  ///< At time 0 and the crank angle of the steady start, or a settled one after it.
    StartReport report;
};

/// Looks for the stable periodic motion of an idling engine, so that a run can begin on it: lets
/// the motion settle for some engine cycles, then solves for what repeats itself over the period of
/// the engine's torque, twice and four times it, and whole engine cycles (find_orbit). Only a
/// stable motion is taken, and none that just touches a face. If there is none, `state` is the
/// settled state and `report.why_not` says why; a run can take statistics from there.
///
/// The mean speed is part of the solution. Nothing but drag holds it at idle, so that it is what
/// comes to rest last: after a common settling time it is still on its way, in the periodic motion
/// it has arrived.
///
/// A motion that was found is where a disturbed one returns to, but not the only one that may
/// exist; the settling decides which of several is found.
///
/// Throws InputError if a torque depends on time or a law is smooth: nothing repeats then, or
/// nothing can be said of its neighbours.
[[nodiscard]] PeriodicStart periodic_start(const Assembled& assembled, const State& steady,
                                           const PeriodicStartSettings& settings,
                                           const Progress& progress = {});

}  // namespace damper
