// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/base/progress.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/measures/rattle_certainty.hpp"
#include "libdamper/scenario/scenario.hpp"
#include "libdamper/solvers/solver.hpp"
#include "libdamper/studies/run_sampler.hpp"
#include "libdamper/studies/run_settings.hpp"
#include "libdamper/verdict/judge.hpp"

namespace damper {

/// A scenario ready to be solved.
struct ReadyRun {
    Assembled assembled;
    SteadyState balance;  ///< Of the mean torques; the facts are taken there.
    State start;          ///< Where the run begins.
    StartReport start_report;
    RunFacts facts;
    double sample_step = 0.0;  ///< [s]
    /// The solver goes this far, so that what began before the end of the run is seen to its own
    /// end [s].
    double solve_until = 0.0;
};

/// Assembles a scenario and finds its start. Throws InputError if that cannot be. A stop request
/// on the way leaves the start that there is by then.
[[nodiscard]] ReadyRun make_ready(const Scenario& scenario, const RunSettings& settings = {},
                                  const Progress& progress = {});

/// What the time solver is asked for.
[[nodiscard]] TimeSettings time_settings(const ReadyRun& ready, const RunSettings& settings);

/// A run that is over, and how certain its rates of tooth impacts are.
struct SolvedRun {
    TimeOutcome outcome;
    RattleCertainty certainty;

    /// Gives the measures of the run their certainty.
    void tell(Measured& measured) const;
};

/// Solves; `sampler` is the one that `sink` reads with: the run ends when it sees something come to
/// rest, or when enough is known if the settings ask for that. The report says how it ended, and
/// warns of an energy that does not balance. Throws InputError if the solver is unknown or cannot
/// take the driveline.
[[nodiscard]] SolvedRun solve_ready(const ReadyRun& ready, const TimeSettings& time,
                                    const RunSettings& settings, Sink& sink,
                                    const RunSampler& sampler, const Progress& progress);

/// Limits, and the bands of the scenario unless it was changed from outside.
[[nodiscard]] Verdict judge_run(const Scenario& scenario, const RunFacts& facts,
                                const Measured& measured);

}  // namespace damper
