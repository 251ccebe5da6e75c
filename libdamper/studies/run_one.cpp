// SPDX-License-Identifier: MIT
#include "libdamper/studies/run_one.hpp"

#include "libdamper/base/version.hpp"
#include "libdamper/measures/comfort.hpp"
#include "libdamper/measures/measure_run.hpp"
#include "libdamper/quantity/write_quantity.hpp"
#include "libdamper/studies/model_table.hpp"
#include "libdamper/studies/ready_run.hpp"
#include "libdamper/studies/recorder.hpp"

#include <algorithm>
#include <chrono>
#include <ctime>
#include <fmt/chrono.h>
#include <fmt/format.h>
#include <unistd.h>
#include <utility>

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

}  // namespace

RunRecord run_one(const Scenario& scenario, const RunSettings& settings, const Progress& progress) {
    const ReadyRun ready = make_ready(scenario, settings, progress);
    const TimeSettings time = time_settings(ready, settings);
    Recorder recorder(ready.assembled, static_cast<std::size_t>(time.end / time.sample_step) + 2);
    SolvedRun run = solve_ready(ready, time, settings, recorder, recorder.sampler(), progress);

    RunRecord record;
    record.identity = identity_of(scenario, ready.facts, settings);
    record.model = model_table(ready.assembled);
    record.signals = recorder.take_signals();
    add_jerk_signal(record.signals);
    record.events = recorder.take_events();
    record.energy = std::move(run.outcome.energy);
    record.solver = run.outcome.report;
    record.disc_loop = quasi_static_loop(scenario.vehicle.disc);
    record.measured_from = ready.facts.measured_from;

    Measured measured = measure_run(ready.facts, record.signals, record.events);
    run.tell(measured);
    record.verdict = judge_run(scenario, ready.facts, measured);
    if (!record.solver.complete) {
        record.verdict.grade = std::max(record.verdict.grade, Grade::watch);
        record.verdict.headline = fmt::format(
            "Not finished: the run got to {:.4g} s of {:.4g} s; what is judged is judged on that "
            "part.",
            record.solver.end_time, ready.facts.length);
    }
    record.measures = std::move(measured.measures);
    record.spectra = std::move(measured.spectra);
    record.stage_use = std::move(measured.stage_use);
    record.gear_impacts = std::move(measured.gear_impacts);
    for (std::string& note : measured.notes) record.solver.warnings.push_back(std::move(note));
    return record;
}

}  // namespace damper
