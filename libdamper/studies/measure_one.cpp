// SPDX-License-Identifier: MIT
#include "libdamper/studies/measure_one.hpp"

#include "libdamper/studies/measuring_sink.hpp"
#include "libdamper/studies/ready_run.hpp"

#include <utility>

namespace damper {

MeasuredRun measure_one(const Scenario& scenario, const RunSettings& settings,
                        RunMeasures& workspace, const Progress& progress) {
    ReadyRun ready = make_ready(scenario);
    workspace.start(ready.facts, event_names(ready.assembled.line).elements);
    MeasuringSink sink(ready.assembled, workspace);
    TimeOutcome outcome = solve_ready(ready, time_settings(scenario, ready, settings), settings,
                                      sink, sink.sampler(), progress);
    MeasuredRun out;
    out.measured = workspace.finish();
    out.facts = std::move(ready.facts);
    out.energy = std::move(outcome.energy);
    out.solver = std::move(outcome.report);
    return out;
}

MeasuredRun measure_one(const Scenario& scenario, const RunSettings& settings,
                        const Progress& progress) {
    RunMeasures workspace;
    return measure_one(scenario, settings, workspace, progress);
}

}  // namespace damper
