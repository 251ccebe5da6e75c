// SPDX-License-Identifier: MIT
#include "libdamper/studies/ready_run.hpp"

#include "libdamper/assemble/assemble.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/general/general_solver.hpp"
#include "libdamper/studies/facts_of.hpp"

#include <fmt/format.h>
#include <utility>
#include <vector>

namespace damper {

namespace {

TimeOutcome solve_by(const std::string& solver, const Driveline& line, const State& start,
                     const TimeSettings& time, Sink& sink, const Progress& progress) {
    if (solver == "auto" || solver == "exact") {
        return solve_exact(line, start, time, &sink, progress);
    }
    if (solver == "general") return solve_general(line, start, time, &sink, progress);
    throw InputError(
        fmt::format("unknown solver \"{}\"; known are auto, general and exact", solver));
}

/// A start that cannot be: tyres without the grip for it, friction that holds more than it can.
SteadyState start_of(const Assembled& assembled) {
    try {
        return steady_state(assembled.line);
    } catch (const ModelError& error) {
        throw InputError(
            fmt::format("this scenario has no steady state to start from: {}. To mend: "
                        "less torque, another gear, or parts that can carry it",
                        error.what()));
    }
}

/// What the reader must know about how the run ended.
void tell_how_it_ended(const RunSampler& sampler, TimeOutcome& outcome) {
    SolverReport& report = outcome.report;
    if (sampler.came_to_rest()) {
        report.complete = false;
        report.warnings.clear();
        report.warnings.push_back(fmt::format(
            "the {} came to rest at t = {:.4g} s: the model has no answer to what follows",
            sampler.what_rested(), sampler.rested_at()));
    }
    constexpr double balance = 1e-6;
    const double residual = outcome.energy.residual();
    if (residual > balance) {
        report.warnings.push_back(fmt::format(
            "the energy does not balance: {:.2g} of what was turned over is left; work with a "
            "tighter tolerance",
            residual));
    }
}

}  // namespace

ReadyRun make_ready(const Scenario& scenario) {
    ReadyRun ready;
    ready.assembled = assemble(scenario);
    ready.start = start_of(ready.assembled);
    ready.facts = facts_of(scenario, ready.assembled, ready.start);
    return ready;
}

TimeSettings time_settings(const Scenario& scenario, const ReadyRun& ready,
                           const RunSettings& settings) {
    return {.end = ready.facts.length,
            .sample_step = scenario.recording.step.si(),
            .tolerance = settings.tolerance,
            .crank = ready.assembled.engine};
}

TimeOutcome solve_ready(const ReadyRun& ready, const TimeSettings& time,
                        const RunSettings& settings, Sink& sink, const RunSampler& sampler,
                        const Progress& progress) {
    const Progress watched{.report = progress.report, .stop_requested = [&] {
                               return progress.must_stop() || sampler.came_to_rest();
                           }};
    TimeOutcome outcome =
        solve_by(settings.solver, ready.assembled.line, ready.start.state, time, sink, watched);
    tell_how_it_ended(sampler, outcome);
    return outcome;
}

Verdict judge_run(const Scenario& scenario, const RunFacts& facts, const Measured& measured) {
    std::vector<ExpectedBand> bands;
    if (!scenario.changed_from_outside) {
        for (const Band& band : scenario.bands) {
            bands.push_back({band.measure, band.low, band.high, band.source});
        }
    }
    Verdict verdict = judge(facts, measured, bands);
    if (scenario.changed_from_outside && !scenario.bands.empty()) {
        verdict.reasons.emplace_back(
            "The bands of the scenario are left out: they belong to the file as it stands, and the "
            "command line changed it.");
    }
    return verdict;
}

}  // namespace damper
