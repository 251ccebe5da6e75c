// SPDX-License-Identifier: MIT
#include "libdamper/studies/figure_bench.hpp"

#include "libdamper/studies/cover_study.hpp"
#include "libdamper/studies/measure_one.hpp"
#include "libdamper/studies/run_one.hpp"
#include "libdamper/studies/workshop_figures.hpp"

#include <algorithm>
#include <utility>

namespace damper {

bool BenchFigures::has(const std::string& shown_by) const {
    return std::ranges::find(places, shown_by, &ShownFigures::shown_by) != places.end();
}

const MeasureValue* BenchFigures::find(const std::string& shown_by, const std::string& name) const {
    for (const ShownFigures& place : places) {
        if (place.shown_by != shown_by) continue;
        const auto found = std::ranges::find(place.figures, name, &MeasureValue::name);
        if (found != place.figures.end()) return &*found;
    }
    return nullptr;
}

const MeasureValue* BenchFigures::find(const std::string& name) const {
    for (const ShownFigures& place : places) {
        if (const MeasureValue* found = find(place.shown_by, name)) return found;
    }
    return nullptr;
}

std::vector<MeasureValue> BenchFigures::all() const {
    std::vector<MeasureValue> out;
    for (const ShownFigures& place : places) {
        for (const MeasureValue& one : place.figures) {
            if (find(one.name) == &one) out.push_back(one);
        }
    }
    return out;
}

FigureBench::FigureBench(FigureSource source) : source_(std::move(source)) {
    if (!source_.scenario.empty()) {
        reader_ = std::make_unique<ScenarioReader>(source_.scenario, source_.options);
    }
    reference_ = read({}).vehicle.engine.peak_torque.si();
}

Scenario FigureBench::read(const std::vector<std::pair<std::string, std::string>>& changes) const {
    if (reader_) return reader_->read(changes);
    Scenario scenario;
    scenario.name = source_.name;
    ReadOptions options = source_.options;
    options.changes.insert(options.changes.end(), changes.begin(), changes.end());
    // Without a scenario nobody drives: only the vehicle is looked at.
    std::erase_if(options.changes, [](const auto& change) {
        return change.first.starts_with("manoeuvre.") || change.first.starts_with("conditions.");
    });
    scenario.vehicle = read_vehicle(source_.vehicle, options);
    return scenario;
}

BenchFigures FigureBench::figures(const std::vector<std::pair<std::string, std::string>>& changes,
                                  const Progress& stop) {
    BenchFigures out;
    const auto& places = source_.places;
    const Scenario scenario = read(changes);
    if (reader_) {
        MeasuredRun run = measure_one(scenario, {}, workspace_, stop);
        out.places.push_back({"run", std::move(run.measured.measures)});
        out.complete = run.solver.complete;
        out.engine_speed = run.facts.engine_speed;
    }
    if (places.contains("gauges")) out.places.push_back({"gauges", gauge_figures(scenario)});
    if (places.contains("held")) out.places.push_back({"gauges", held_figures(scenario)});
    if (places.contains("press")) out.places.push_back({"press", press_figures(scenario)});
    if (places.contains("disc bench")) {
        out.places.push_back(
            {"disc bench",
             disc_bench_figures(quasi_static_loop(scenario.vehicle.disc), reference_)});
    }
    if (!reader_ && !places.contains("press")) {
        out.places.push_back({"clutch", study_cover(scenario, {}).figures});
    }
    return out;
}

}  // namespace damper
