// SPDX-License-Identifier: MIT
#include "libdamper/studies/run_one.hpp"

#include "libdamper/assemble/assemble.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/version.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/measures/comfort.hpp"
#include "libdamper/measures/measure_run.hpp"
#include "libdamper/quantity/write_quantity.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/general/general_solver.hpp"
#include "libdamper/studies/facts_of.hpp"
#include "libdamper/studies/model_table.hpp"
#include "libdamper/studies/recorder.hpp"
#include "libdamper/verdict/judge.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <ctime>
#include <fmt/chrono.h>
#include <fmt/format.h>
#include <unistd.h>

namespace damper {

namespace {

std::string host_name() {
    char name[256] = {};
    return gethostname(name, sizeof name - 1) == 0 ? std::string(name) : std::string();
}

std::string created_now() {
    const std::time_t now = std::chrono::system_clock::to_time_t(std::chrono::system_clock::now());
    return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(now));
}

std::vector<std::pair<std::string, std::string>> conditions_of(const Scenario& scenario,
                                                               const RunFacts& facts) {
    const Conditions& c = scenario.conditions;
    std::vector<std::pair<std::string, std::string>> out = {
        {"gearbox oil", write_quantity(c.gearbox_oil)},
        {"gearbox oil grade", scenario.vehicle.gearbox.oil.title},
        {"engine speed", write_quantity(AngularSpeed::from_si(facts.engine_speed))}};
    if (const auto* idle = std::get_if<Idle>(&scenario.manoeuvre)) {
        out.emplace_back("pedal", idle->pedal);
        out.emplace_back("consumers", write_quantity(idle->consumers));
    } else {
        const TorqueChange& change = *torque_change_of(scenario.manoeuvre);
        out.emplace_back("gear", change.gear);
        out.emplace_back("engine torque",
                         write_quantity(change.from) + " to " + write_quantity(change.to));
        out.emplace_back("grade", write_quantity(c.grade));
    }
    return out;
}

RunIdentity identity_of(const Scenario& scenario, const RunFacts& facts,
                        const RunSettings& settings) {
    return {.program_version = program_version(),
            .command_line = settings.command_line,
            .scenario = scenario.name,
            .title = scenario.title,
            .origin = scenario.origin,
            .vehicle = scenario.vehicle.title,
            .vehicle_class = scenario.vehicle.vehicle_class,
            .disc = scenario.vehicle.disc.title,
            .manoeuvre = facts.manoeuvre,
            .conditions = conditions_of(scenario, facts),
            .changes = scenario.changes,
            .inputs = scenario.inputs,
            .created = created_now(),
            .host = host_name()};
}

TimeSettings time_settings(const Scenario& scenario, const RunFacts& facts,
                           const RunSettings& settings) {
    return {.end = facts.length,
            .sample_step = scenario.recording.step.si(),
            .tolerance = settings.tolerance};
}

TimeOutcome solve_by(const std::string& solver, const Driveline& line, const State& start,
                     const TimeSettings& time, Recorder& recorder, const Progress& progress) {
    if (solver == "auto" || solver == "general") {
        return solve_general(line, start, time, &recorder, progress);
    }
    if (solver != "exact") {
        throw InputError(
            fmt::format("unknown solver \"{}\"; known are auto, general and exact", solver));
    }
    if (const auto element = exact_forbidden_by(line)) {
        throw InputError(fmt::format(
            "the exact solver cannot take this driveline, because of one element: {}. It needs "
            "piecewise-linear laws; use --solver general",
            *element));
    }
    return solve_exact(line, start, time, &recorder, progress);
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
void tell_how_it_ended(const Recorder& recorder, const RunFacts& facts, RunRecord& record) {
    SolverReport& solver = record.solver;
    if (recorder.came_to_rest()) {
        solver.complete = false;
        solver.warnings.clear();
        solver.warnings.push_back(fmt::format(
            "the {} came to rest at t = {:.4g} s: the model has no answer to what follows",
            recorder.what_rested(), recorder.rested_at()));
    }
    constexpr double balance = 1e-6;
    if (record.energy.residual() > balance) {
        solver.warnings.push_back(fmt::format(
            "the energy does not balance: {:.2g} of what was turned over is left; work with a "
            "tighter tolerance",
            record.energy.residual()));
    }
    if (!solver.complete) {
        record.verdict.grade = std::max(record.verdict.grade, Grade::watch);
        record.verdict.headline = fmt::format(
            "Not finished: the run got to {:.4g} s of {:.4g} s; what is judged is judged on that "
            "part.",
            solver.end_time, facts.length);
    }
}

}  // namespace

RunRecord run_one(const Scenario& scenario, const RunSettings& settings, const Progress& progress) {
    const Assembled assembled = assemble(scenario);
    const SteadyState start = start_of(assembled);
    const RunFacts facts = facts_of(scenario, assembled, start);
    const TimeSettings time = time_settings(scenario, facts, settings);
    Recorder recorder(assembled, static_cast<std::size_t>(time.end / time.sample_step) + 2);
    const Progress watched{.report = progress.report, .stop_requested = [&] {
                               return progress.must_stop() || recorder.came_to_rest();
                           }};
    TimeOutcome outcome =
        solve_by(settings.solver, assembled.line, start.state, time, recorder, watched);

    RunRecord record;
    record.identity = identity_of(scenario, facts, settings);
    record.model = model_table(assembled);
    record.signals = recorder.take();
    add_jerk_signal(record.signals);
    record.events = std::move(outcome.events);
    record.energy = std::move(outcome.energy);
    record.solver = std::move(outcome.report);
    record.disc_loop = quasi_static_loop(scenario.vehicle.disc);
    record.measured_from = facts.measured_from;

    Measured measured = measure_run(facts, record.signals, record.events);
    std::vector<ExpectedBand> bands;
    if (!scenario.changed_from_outside) {
        for (const Band& band : scenario.bands) {
            bands.push_back({band.measure, band.low, band.high, band.source});
        }
    }
    record.verdict = judge(facts, measured, bands);
    if (scenario.changed_from_outside && !scenario.bands.empty()) {
        record.verdict.reasons.emplace_back(
            "The bands of the scenario are left out: they belong to the file as it stands, and the "
            "command line changed it.");
    }
    tell_how_it_ended(recorder, facts, record);
    record.measures = std::move(measured.measures);
    record.spectra = std::move(measured.spectra);
    record.stage_use = std::move(measured.stage_use);
    record.gear_impacts = std::move(measured.gear_impacts);
    for (std::string& note : measured.notes) record.solver.warnings.push_back(std::move(note));
    return record;
}

}  // namespace damper
