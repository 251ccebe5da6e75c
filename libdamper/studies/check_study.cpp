// SPDX-License-Identifier: MIT
#include "libdamper/studies/check_study.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/parallel.hpp"
#include "libdamper/base/version.hpp"
#include "libdamper/measures/run_measures.hpp"
#include "libdamper/solvers/event_collector.hpp"
#include "libdamper/studies/against_baseline.hpp"
#include "libdamper/studies/ready_run.hpp"
#include "libdamper/studies/thinning_sink.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <memory>
#include <mutex>
#include <new>
#include <utility>

namespace damper {

namespace {

constexpr std::size_t most_samples = 100;  // of a signal in a baseline: a convention of this tool

Baseline baseline_of(const Scenario& scenario, const RunFacts& facts, const Measured& measured) {
    Baseline out;
    out.scenario = scenario.name;
    out.title = scenario.title;
    out.manoeuvre = facts.manoeuvre;
    out.program_version = program_version();
    out.changes = scenario.changes;
    out.inputs = scenario.inputs;
    for (const MeasureValue& one : measured.measures) {
        out.measures.push_back(
            {one.name, one.units, one.value, one.certainty ? one.certainty->half_width : 0.0});
    }
    return out;
}

void compare(const CheckJob& job, const CheckSettings& settings, const Verdict& verdict,
             CheckedScenario& out) {
    out.grade = verdict.grade;
    out.values = held_against_bands(verdict.bands);
    if (job.baseline && !settings.makes_baselines) {
        auto more = held_against_baseline(*job.baseline, out.now, settings.tolerances);
        std::ranges::move(more, std::back_inserter(out.values));
        out.notes = differences_of_origin(*job.baseline, out.now);
    }
    std::ranges::stable_sort(out.values, {}, &CheckedValue::margin);
    const bool kept = std::ranges::all_of(out.values, &CheckedValue::kept);
    out.end = kept ? CheckEnd::kept : CheckEnd::missed;
    if (settings.against_baselines && !job.baseline && !settings.makes_baselines) {
        out.end = CheckEnd::missed;
        out.message = "there is no baseline of this scenario yet: --update-baseline makes it";
    }
}

void run_and_compare(const CheckJob& job, const CheckSettings& settings, RunMeasures& workspace,
                     const Progress& progress, CheckedScenario& out) {
    const Scenario& scenario = *job.scenario;
    check_settings(scenario, settings.run);
    const ReadyRun ready = make_ready(scenario, settings.run, progress);
    workspace.start(ready.facts, event_names(ready.assembled.line).elements);
    ThinningSink sink(ready.assembled, workspace, ready.facts, ready.sample_step, most_samples);
    const SolvedRun run = solve_ready(ready, time_settings(ready, settings.run), settings.run, sink,
                                      sink.sampler(), progress);
    Measured measured = workspace.finish();
    run.tell(measured);
    const SolverReport& report = run.outcome.report;
    if (!report.complete) {
        if (progress.must_stop()) return;
        out.end = CheckEnd::unsolved;
        out.message = fmt::format("it got to t = {:.6g} s. {}", report.end_time,
                                  fmt::join(report.warnings, " "));
        return;
    }
    out.now = baseline_of(scenario, ready.facts, measured);
    sink.give(out.now);
    compare(job, settings, judge_run(scenario, ready.facts, measured), out);
    for (const std::string& warning : report.warnings) out.notes.push_back(warning);
}

/// What goes wrong with one scenario stays with it.
void check_guarded(const CheckJob& job, const CheckSettings& settings, RunMeasures& workspace,
                   const Progress& progress, CheckedScenario& out) {
    const auto failed = [&](CheckEnd end, std::string why) {
        out.end = end;
        out.message = std::move(why);
    };
    try {
        run_and_compare(job, settings, workspace, progress, out);
    } catch (const InputError& error) {
        failed(CheckEnd::bad_input, error.what());
    } catch (const SolverError& error) {
        failed(CheckEnd::unsolved,
               fmt::format("it got to t = {:.6g} s. {}", error.time(), error.what()));
    } catch (const std::bad_alloc&) {
        failed(CheckEnd::unsolved, "there is not enough memory");
    } catch (const std::exception& error) {
        failed(CheckEnd::unsolved, fmt::format("{} (a fault of the program)", error.what()));
    }
}

}  // namespace

std::vector<CheckedScenario> check_scenarios(const std::vector<CheckJob>& jobs,
                                             const CheckSettings& settings,
                                             const Progress& progress) {
    using Clock = std::chrono::steady_clock;
    std::vector<CheckedScenario> out;
    for (const CheckJob& job : jobs) out.push_back(job.before);
    std::vector<std::unique_ptr<RunMeasures>> workspaces(
        thread_count(settings.threads, jobs.size()));
    for (auto& one : workspaces) one = std::make_unique<RunMeasures>();
    std::mutex guard;
    std::size_t done = 0;
    const Progress inner{.report = {}, .stop_requested = progress.stop_requested};
    in_parallel(
        jobs.size(), settings.threads,
        [&](std::size_t job, std::size_t worker) {
            const auto began = Clock::now();
            if (jobs[job].scenario) {
                check_guarded(jobs[job], settings, *workspaces[worker], inner, out[job]);
            }
            out[job].seconds = std::chrono::duration<double>(Clock::now() - began).count();
            const std::lock_guard lock(guard);
            progress.tell(static_cast<double>(++done) / static_cast<double>(jobs.size()));
        },
        [&] { return progress.must_stop(); });
    return out;
}

}  // namespace damper
