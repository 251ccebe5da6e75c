// SPDX-License-Identifier: MIT
#include "libdamper/studies/ready_run.hpp"

#include "libdamper/assemble/assemble.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/general/general_solver.hpp"
#include "libdamper/studies/facts_of.hpp"
#include "libdamper/studies/periodic_start.hpp"
#include "libdamper/studies/window_sink.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
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

/// The smallest number of engine cycles that holds whole periods, where a period may be a part of
/// an engine cycle.
double whole_cycles(double cycles_per_period) {
    constexpr double hair = 1e-6;
    double cycles = 1.0;
    while (std::abs(std::remainder(cycles, cycles_per_period)) > hair) cycles += 1.0;
    return cycles;
}

/// Moves the start onto the periodic motion, or into a settled state if there is none. Either is
/// measured from the first sample on; a periodic motion over whole engine cycles, with as many
/// samples in each, so that sums over samples and impacts are those of an endless run.
void start_periodic(ReadyRun& ready, const Scenario& scenario, const RunSettings& settings,
                    const Progress& progress) {
    PeriodicStart found = periodic_start(ready.assembled, ready.start, {}, progress);
    ready.start = std::move(found.state);
    ready.start_report = std::move(found.report);
    RunFacts& facts = ready.facts;
    const double asked = facts.length - facts.measured_from;
    facts.measured_from = 0.0;
    facts.length = asked;
    if (!ready.start_report.periodic) return;
    const double cycles = whole_cycles(ready.start_report.cycles);
    const double time = cycles / ready.start_report.cycles * ready.start_report.period;
    const double times = settings.certain > 0.0 ? 1.0 : std::max(1.0, std::round(asked / time));
    const double steps = std::ceil(time / scenario.recording.step.si() - 1e-9);
    ready.sample_step = time / steps;
    facts.length = times * time;
    facts.repeats = true;
    ready.solve_until = facts.length + time;
}

/// Why the run stopped where it did.
void tell_why_it_stopped(const ReadyRun& ready, const RunSettings& settings,
                         const WindowSink& window, const RattleCertainty& certainty,
                         SolverReport& report) {
    using Known = RattleCertainty::Known;
    StopReport& stop = report.stop;
    stop.cycles = certainty.cycles();
    if (window.known() != Known::not_yet) {
        // The stop request was ours.
        report.complete = true;
        report.warnings.clear();
    }
    if (report.complete) report.end_time = std::min(report.end_time, window.end());
    if (!(settings.certain > 0.0)) return;
    stop.share = settings.certain;
    stop.longest = settings.longest;
    if (ready.facts.repeats) {
        stop.reason = "repeats";
        return;
    }
    stop.share_reached = certainty.share_reached();
    stop.reason = window.known() == Known::quiet     ? "quiet"
                  : window.known() == Known::certain ? "certain"
                                                     : "longest";
    if (stop.reason != "longest" || !report.complete) return;
    const std::string reached =
        std::isfinite(stop.share_reached)
            ? fmt::format("known to ±{:.2g} %", 100.0 * stop.share_reached)
            : "not known to any share: their changes from one part of the run to the next hang "
              "together";
    report.warnings.push_back(fmt::format(
        "after the longest time, {:.4g} s, the rates of tooth impacts are {}; ±{:.2g} % was asked "
        "for",
        settings.longest, reached, 100.0 * settings.certain));
}

/// What the reader must know about how the run ended.
void tell_how_it_ended(const RunSampler& sampler, TimeOutcome& outcome) {
    SolverReport& report = outcome.report;
    const bool stalled = sampler.came_to_rest() && sampler.assembled().vehicle_may_rest;
    if (stalled) {
        // That is an outcome of a take-up, and what was asked for is known.
        report.complete = true;
        report.end_time = sampler.rested_at();
        report.warnings.clear();
        report.warnings.push_back(fmt::format(
            "the engine stalled at t = {:.4g} s; the run ends there", sampler.rested_at()));
    } else if (sampler.came_to_rest()) {
        report.complete = false;
        report.warnings.clear();
        report.warnings.push_back(fmt::format(
            "the {} came to rest at t = {:.4g} s: the model has no answer to what follows",
            sampler.what_rested(), sampler.rested_at()));
    }
    constexpr double balance = 1e-6;
    if (sampler.arrived() && !sampler.came_to_rest()) {
        // The stop request was ours.
        report.complete = true;
        report.warnings.clear();
    } else if (sampler.assembled().end_speed > 0.0 && report.complete) {
        report.warnings.emplace_back(
            "the speed at which the run was to end was not reached in its length");
    }
    const double residual = outcome.energy.residual();
    if (residual > balance) {
        report.warnings.push_back(fmt::format(
            "the energy does not balance: {:.2g} of what was turned over is left; work with a "
            "tighter tolerance",
            residual));
    }
}

}  // namespace

ReadyRun make_ready(const Scenario& scenario, const RunSettings& settings,
                    const Progress& progress) {
    check_settings(scenario, settings);
    ReadyRun ready;
    ready.assembled = assemble(scenario);
    ready.balance = start_of(ready.assembled);
    ready.start = ready.balance.state;
    ready.facts = facts_of(scenario, ready.assembled, ready.balance);
    ready.sample_step = scenario.recording.step.si();
    if (settings.start == "periodic") start_periodic(ready, scenario, settings, progress);
    if (settings.certain > 0.0 && !ready.facts.repeats) {
        ready.facts.length = ready.facts.measured_from + settings.longest;
    }
    ready.solve_until = std::max(ready.solve_until, ready.facts.length);
    return ready;
}

TimeSettings time_settings(const ReadyRun& ready, const RunSettings& settings) {
    return {.end = ready.solve_until,
            .sample_step = ready.sample_step,
            .tolerance = settings.tolerance,
            .crank = ready.assembled.engine};
}

void SolvedRun::tell(Measured& measured) const {
    certainty.tell(measured, outcome.report.start.periodic && outcome.report.complete);
}

SolvedRun solve_ready(const ReadyRun& ready, const TimeSettings& time, const RunSettings& settings,
                      Sink& sink, const RunSampler& sampler, const Progress& progress) {
    using Known = RattleCertainty::Known;
    SolvedRun run{.outcome = {},
                  .certainty = {ready.facts, event_names(ready.assembled.line).elements}};
    // Without more to see than the run itself, its last instant is part of it.
    const bool beyond = ready.solve_until > ready.facts.length;
    constexpr double hair = 1e-6;
    WindowSink window(sink, sampler, run.certainty,
                      beyond ? ready.facts.length : std::numeric_limits<double>::infinity(),
                      hair * time.sample_step, ready.facts.repeats ? 0.0 : settings.certain);
    const Progress watched{.report = progress.report, .stop_requested = [&] {
                               return progress.must_stop() || sampler.came_to_rest() ||
                                      sampler.arrived() || window.known() != Known::not_yet;
                           }};
    run.outcome =
        solve_by(settings.solver, ready.assembled.line, ready.start, time, window, watched);
    run.outcome.report.start = ready.start_report;
    tell_why_it_stopped(ready, settings, window, run.certainty, run.outcome.report);
    tell_how_it_ended(sampler, run.outcome);
    return run;
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
