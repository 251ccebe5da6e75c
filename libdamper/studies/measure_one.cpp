// SPDX-License-Identifier: MIT
#include "libdamper/studies/measure_one.hpp"

#include "libdamper/studies/measuring_sink.hpp"
#include "libdamper/studies/ready_run.hpp"

#include <utility>

namespace damper {

MeasuredRun measure_one(const Scenario& scenario, const RunSettings& settings,
                        RunMeasures& workspace, const Progress& progress) {
    ReadyRun ready = make_ready(scenario, settings, progress);
    workspace.start(ready.facts, event_names(ready.assembled.line).elements);
    MeasuringSink sink(ready.assembled, workspace);
    SolvedRun run = solve_ready(ready, time_settings(ready, settings), settings, sink,
                                sink.sampler(), progress);
    MeasuredRun out;
    out.measured = workspace.finish();
    run.tell(out.measured);
    out.facts = std::move(ready.facts);
    out.energy = std::move(run.outcome.energy);
    out.solver = std::move(run.outcome.report);
    return out;
}

MeasuredRun measure_one(const Scenario& scenario, const RunSettings& settings,
                        const Progress& progress) {
    RunMeasures workspace;
    return measure_one(scenario, settings, workspace, progress);
}

}  // namespace damper
