// SPDX-License-Identifier: MIT
#include "libdamper/studies/run_one.hpp"

#include "libdamper/measures/comfort.hpp"
#include "libdamper/measures/measure_run.hpp"
#include "libdamper/quantity/write_quantity.hpp"
#include "libdamper/studies/identity.hpp"
#include "libdamper/studies/model_table.hpp"
#include "libdamper/studies/ready_run.hpp"
#include "libdamper/studies/recorder.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <utility>

namespace damper {

namespace {

std::vector<std::pair<std::string, std::string>> conditions_of(const Scenario& scenario,
                                                               const RunFacts& facts) {
    const Conditions& c = scenario.conditions;
    std::vector<std::pair<std::string, std::string>> out = {
        {"gearbox oil", write_quantity(c.gearbox_oil)},
        {"gearbox oil grade", scenario.vehicle.gearbox.oil.title},
        {"engine speed", write_quantity(AngularSpeed::from_si(facts.engine_speed))}};
    std::visit(
        [&](const auto& m) {
            if constexpr (requires { m.gear; }) {
                out.emplace_back("gear", m.gear.empty() ? "neutral" : m.gear);
            }
            if constexpr (requires { m.pedal; }) out.emplace_back("pedal", m.pedal);
            if constexpr (requires { m.consumers; }) {
                out.emplace_back("consumers", write_quantity(m.consumers));
            }
        },
        scenario.manoeuvre);
    if (const TorqueChange* change = torque_change_of(scenario.manoeuvre)) {
        out.emplace_back("engine torque",
                         write_quantity(change->from) + " to " + write_quantity(change->to));
    }
    if (const SpeedRun* run = speed_run_of(scenario.manoeuvre)) {
        out.emplace_back("engine speed at the end", write_quantity(run->to));
        out.emplace_back("load", write_quantity(run->load));
        out.emplace_back("driven", run->sweep.si() > 0.0
                                       ? "on a roller bench, in " + write_quantity(run->sweep)
                                       : std::string("on the road"));
    }
    if (const auto* take_up = std::get_if<TakeUp>(&scenario.manoeuvre)) {
        out.emplace_back("clutch faces", write_quantity(take_up->face_temperature));
        out.emplace_back("clutch closes", take_up->release.empty() && take_up->course.empty()
                                              ? "in " + write_quantity(take_up->engage_time)
                                              : std::string("by the course in the file"));
        out.emplace_back("load at most", write_quantity(take_up->load) + " of full load");
    }
    if (facts.driving) out.emplace_back("grade", write_quantity(c.grade));
    return out;
}

}  // namespace

RunRecord run_one(const Scenario& scenario, const RunSettings& settings, const Progress& progress) {
    const ReadyRun ready = make_ready(scenario, settings, progress);
    const TimeSettings time = time_settings(ready, settings);
    Recorder recorder(ready.assembled, static_cast<std::size_t>(time.end / time.sample_step) + 2);
    SolvedRun run = solve_ready(ready, time, settings, recorder, recorder.sampler(), progress);

    RunRecord record;
    record.identity = identity_of(scenario, ready.facts.manoeuvre, settings.command_line);
    record.identity.conditions = conditions_of(scenario, ready.facts);
    record.model = model_table(ready.assembled);
    record.signals = recorder.take_signals();
    add_jerk_signal(record.signals);
    record.events = recorder.take_events();
    record.energy = std::move(run.outcome.energy);
    record.solver = run.outcome.report;
    record.disc_loop = quasi_static_loop(scenario.vehicle.disc);
    if (const auto& flywheel = scenario.vehicle.two_mass_flywheel) {
        record.flywheel_loop = quasi_static_loop(*flywheel, ready.assembled.mean_speed);
    }
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
    record.course = std::move(measured.course);
    record.stage_use = std::move(measured.stage_use);
    record.gear_impacts = std::move(measured.gear_impacts);
    for (std::string& note : measured.notes) record.solver.warnings.push_back(std::move(note));
    return record;
}

}  // namespace damper
