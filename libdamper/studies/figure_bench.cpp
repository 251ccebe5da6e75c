// SPDX-License-Identifier: MIT
#include "libdamper/studies/figure_bench.hpp"

#include "libdamper/studies/cover_study.hpp"
#include "libdamper/studies/measure_one.hpp"
#include "libdamper/studies/run_one.hpp"
#include "libdamper/studies/workshop_figures.hpp"

#include <algorithm>

namespace damper {

FigureBench::FigureBench(const FigureSource& source) : source_(source) {
    if (!source.scenario.empty()) {
        reader_ = std::make_unique<ScenarioReader>(source.scenario, source.options);
    }
    reference_ = read({}).vehicle.engine.peak_torque.si();
}

Scenario FigureBench::read(const std::vector<std::pair<std::string, std::string>>& changes) const {
    if (reader_) return reader_->read(changes);
    Scenario scenario;
    scenario.name = source_.name;
    ReadOptions options = source_.options;
    options.changes.insert(options.changes.end(), changes.begin(), changes.end());
    scenario.vehicle = read_vehicle(source_.vehicle, options);
    return scenario;
}

BenchFigures FigureBench::figures(const std::vector<std::pair<std::string, std::string>>& changes,
                                  const Progress& stop) {
    BenchFigures out;
    const auto take = [&](const std::vector<MeasureValue>& measures) {
        for (const MeasureValue& one : measures) {
            if (find_figure(out.figures, one.name) != nullptr) continue;
            out.figures.push_back({one.name, one.units, one.definition, one.value});
        }
    };
    const Scenario scenario = read(changes);
    if (reader_) {
        const MeasuredRun run = measure_one(scenario, {}, workspace_, stop);
        take(run.measured.measures);
        out.complete = run.solver.complete;
        out.engine_speed = run.facts.engine_speed;
    } else {
        take(study_cover(scenario, {}).figures);
    }
    if (source_.places.contains("gauges")) take(gauge_figures(scenario));
    if (source_.places.contains("held")) take(held_figures(scenario));
    if (source_.places.contains("press")) take(press_figures(scenario));
    if (source_.places.contains("disc bench")) {
        take(disc_bench_figures(quasi_static_loop(scenario.vehicle.disc), reference_));
    }
    return out;
}

const NamedFigure* find_figure(const std::vector<NamedFigure>& all, const std::string& name) {
    const auto found = std::ranges::find(all, name, &NamedFigure::name);
    return found != all.end() ? &*found : nullptr;
}

}  // namespace damper
