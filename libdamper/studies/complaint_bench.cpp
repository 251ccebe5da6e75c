// SPDX-License-Identifier: MIT
#include "libdamper/studies/complaint_bench.hpp"

#include "libdamper/describe/read.hpp"
#include "libdamper/studies/run_one.hpp"
#include "libdamper/studies/workshop_figures.hpp"

#include <algorithm>
#include <filesystem>

namespace damper {

ComplaintBench::ComplaintBench(const ComplaintKind& kind, const ComplaintRun& run,
                               const VehiclesAsked& asked)
    : run_(run), asked_(asked) {
    const auto asks = [&](const char* shown_by) {
        return std::ranges::find(kind.figures, shown_by, &ComplaintFigure::shown_by) !=
               kind.figures.end();
    };
    gauges_ = asks("gauges");
    held_ = std::ranges::any_of(kind.figures, [](const ComplaintFigure& figure) {
        return figure.measure.starts_with("torque_held");
    });
    press_ = asks("press");
    disc_ = asks("disc bench");
    own_.emplace_back("vehicle", asked.vehicle);
    own_.insert(own_.end(), run.changes.begin(), run.changes.end());
    own_.insert(own_.end(), asked.changes.begin(), asked.changes.end());
    if (!run.scenario.empty()) {
        const ReadOptions options{.models = asked.models, .changes = own_, .measures = {}};
        reader_ =
            std::make_unique<ScenarioReader>(asked.scenarios / (run.scenario + ".toml"), options);
    }
    reference_ = read({}).vehicle.engine.peak_torque.si();
}

Scenario ComplaintBench::read(
    const std::vector<std::pair<std::string, std::string>>& changes) const {
    if (reader_) return reader_->read(changes);
    Scenario out;
    out.name = run_.cover;
    std::vector<std::pair<std::string, std::string>> all(own_.begin() + 1, own_.end());
    all.insert(all.end(), changes.begin(), changes.end());
    // Without a scenario nobody drives: only the vehicle is looked at.
    std::erase_if(all, [](const auto& change) {
        return change.first.starts_with("manoeuvre.") || change.first.starts_with("conditions.");
    });
    const std::filesystem::path file(asked_.vehicle);
    out.vehicle = read_vehicle(
        file.is_absolute() ? file : asked_.models / "vehicles" / (asked_.vehicle + ".toml"),
        {.models = asked_.models, .changes = all, .measures = {}});
    return out;
}

std::vector<ShownFigures> ComplaintBench::figures(
    const std::vector<std::pair<std::string, std::string>>& changes, const Progress& stop) {
    std::vector<ShownFigures> out;
    const Scenario scenario = read(changes);
    if (reader_) {
        MeasuredRun run = measure_one(scenario, {}, workspace_, stop);
        out.push_back({"run", std::move(run.measured.measures)});
    }
    if (gauges_) out.push_back({"gauges", gauge_figures(scenario)});
    if (held_) {
        const std::vector<MeasureValue> held = held_figures(scenario);
        auto& gauges = out.back().figures;
        gauges.insert(gauges.end(), held.begin(), held.end());
    }
    if (press_) out.push_back({"press", press_figures(scenario)});
    if (disc_) {
        out.push_back({"disc bench",
                       disc_bench_figures(quasi_static_loop(scenario.vehicle.disc), reference_)});
    }
    return out;
}

}  // namespace damper
