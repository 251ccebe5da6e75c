// SPDX-License-Identifier: MIT
#include "libdamper/studies/figure_bench.hpp"

#include "libdamper/studies/cover_study.hpp"
#include "libdamper/studies/measure_one.hpp"

#include <algorithm>

namespace damper {

FigureBench::FigureBench(const FigureSource& source) : source_(source) {
    if (!source.scenario.empty()) {
        reader_ = std::make_unique<ScenarioReader>(source.scenario, source.options);
    }
}

BenchFigures FigureBench::figures(const std::vector<std::pair<std::string, std::string>>& changes,
                                  const Progress& stop) {
    BenchFigures out;
    const auto take = [&](const std::vector<MeasureValue>& measures) {
        for (const MeasureValue& one : measures) {
            out.figures.push_back({one.name, one.units, one.definition, one.value});
        }
    };
    if (reader_) {
        const MeasuredRun run = measure_one(reader_->read(changes), {}, workspace_, stop);
        take(run.measured.measures);
        out.complete = run.solver.complete;
        out.engine_speed = run.facts.engine_speed;
        return out;
    }
    Scenario scenario;
    scenario.name = source_.name;
    ReadOptions options = source_.options;
    options.changes.insert(options.changes.end(), changes.begin(), changes.end());
    scenario.vehicle = read_vehicle(source_.vehicle, options);
    take(study_cover(scenario, {}).figures);
    return out;
}

const NamedFigure* find_figure(const std::vector<NamedFigure>& all, const std::string& name) {
    const auto found = std::ranges::find(all, name, &NamedFigure::name);
    return found != all.end() ? &*found : nullptr;
}

}  // namespace damper
