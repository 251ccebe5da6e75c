// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/base/progress.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/scenario/scenario.hpp"
#include "libdamper/solvers/solver.hpp"
#include "libdamper/studies/run_sampler.hpp"
#include "libdamper/studies/run_settings.hpp"
#include "libdamper/verdict/judge.hpp"

namespace damper {

/// A scenario ready to be solved.
struct ReadyRun {
    Assembled assembled;
    SteadyState start;
    RunFacts facts;
};

/// Assembles a scenario and finds its start. Throws InputError if that cannot be.
[[nodiscard]] ReadyRun make_ready(const Scenario& scenario);

/// What the time solver is asked for.
[[nodiscard]] TimeSettings time_settings(const Scenario& scenario, const ReadyRun& ready,
                                         const RunSettings& settings);

/// Solves; `sampler` is the one that `sink` reads with: the run ends when it sees something come to
/// rest. The report then says so, and it warns of an energy that does not balance. Throws
/// InputError if the solver is unknown or cannot take the driveline.
[[nodiscard]] TimeOutcome solve_ready(const ReadyRun& ready, const TimeSettings& time,
                                      const RunSettings& settings, Sink& sink,
                                      const RunSampler& sampler, const Progress& progress);

/// Limits, and the bands of the scenario unless it was changed from outside.
[[nodiscard]] Verdict judge_run(const Scenario& scenario, const RunFacts& facts,
                                const Measured& measured);

}  // namespace damper
