// SPDX-License-Identifier: MIT
#include "libdamper/studies/cause_vehicles.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/parallel.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/studies/complaint_run.hpp"
#include "libdamper/studies/refusal.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <initializer_list>
#include <limits>
#include <memory>
#include <mutex>
#include <optional>

namespace damper {

namespace {

using Changes = std::vector<std::pair<std::string, std::string>>;

constexpr double none = std::numeric_limits<double>::quiet_NaN();

/// Takes units, definitions and scales from what the sound vehicle gives.
void describe_figures(const ComplaintKind& kind, const BenchFigures& sound, CauseVehicles& out) {
    for (const ComplaintFigure& figure : kind.figures) {
        const MeasureValue* named = sound.find(figure.shown_by, figure.measure);
        const bool in_run = figure.shown_by == "run";
        if (named == nullptr || (!in_run && !std::isfinite(named->value))) {
            // A vehicle without mounts has no roll; a class without a run has none of its measures.
            if (in_run && sound.has("run")) {
                out.notes.push_back(fmt::format("the figure {} is left out: {} does not give it",
                                                figure.measure, out.run));
            }
            continue;
        }
        const auto floor = read_in_units(figure.floor, named->units);
        const double* value = std::get_if<double>(&floor);
        if (value == nullptr || !(*value > 0.0)) {
            throw InputError(
                fmt::format("{}, figure {}: found floor \"{}\", expected more than "
                            "zero in {}",
                            kind.title, figure.measure, figure.floor, named->units));
        }
        out.measures.push_back(named->name);
        out.shown_by.push_back(figure.shown_by);
        out.better.push_back(named->better);
        out.units.push_back(named->units);
        out.definitions.push_back(named->definition);
        out.scales.push_back({.error = figure.error.si(), .floor = *value});
    }
}

/// What known_figures() says, once the run of the vehicle is known.
CauseVehicles known_figures_in(const std::optional<ComplaintRun>& run, const ComplaintKind& kind,
                               const VehiclesAsked& asked, const Progress& progress) {
    CauseVehicles out;
    out.rows.resize(kind.causes.size());
    out.simulated.resize(kind.causes.size());
    if (!run || kind.figures.empty()) return out;
    out.run = command_of(*run, asked);
    const FigureSource source = source_of(kind, *run, asked);
    describe_figures(kind, FigureBench(source).figures({}, progress), out);
    if (!run->scenario.empty()) {
        const Scenario scenario = read_scenario(source.scenario, source.options);
        out.state = state_in_words(scenario);
        std::vector<std::string> in_run;
        for (std::size_t f = 0; f < out.measures.size(); ++f) {
            if (out.shown_by[f] == "run") in_run.push_back(out.measures[f]);
        }
        out.guide = what_to_record(scenario, in_run);
    }
    return out;
}

std::vector<double> in_order_of(const CauseVehicles& vehicles, const BenchFigures& all) {
    std::vector<double> out;
    for (std::size_t f = 0; f < vehicles.measures.size(); ++f) {
        const MeasureValue* named = all.find(vehicles.shown_by[f], vehicles.measures[f]);
        out.push_back(named != nullptr ? named->value : none);
    }
    return out;
}

/// Rows that have any figure at all.
FigureRows kept(const FigureRows& rows) {
    FigureRows out(rows.rows(), rows.cols());
    Eigen::Index count = 0;
    for (Eigen::Index r = 0; r < rows.rows(); ++r) {
        if (rows.row(r).array().isFinite().any()) out.row(count++) = rows.row(r);
    }
    return out.topRows(count);
}

/// Every vehicle that was simulated with a cause.
FigureRows all_of(const CauseVehicles& vehicles) {
    Eigen::Index count = 0;
    for (std::size_t c = 0; c < vehicles.rows.size(); ++c) {
        if (vehicles.simulated[c]) count += vehicles.rows[c].rows();
    }
    if (count == 0) return vehicles.healthy;
    FigureRows out(count, vehicles.healthy.cols());
    Eigen::Index at = 0;
    for (std::size_t c = 0; c < vehicles.rows.size(); ++c) {
        if (!vehicles.simulated[c]) continue;
        out.middleRows(at, vehicles.rows[c].rows()) = vehicles.rows[c];
        at += vehicles.rows[c].rows();
    }
    return out;
}

/// Rows of a cause that was not simulated: figure by figure those of sound vehicles or of any.
FigureRows rows_of_unsimulated(const ComplaintKind& kind, const CandidateCause& cause,
                               const CauseVehicles& vehicles, const FigureRows& any) {
    const Eigen::Index count = std::max(any.rows(), vehicles.healthy.rows());
    FigureRows out(count, vehicles.healthy.cols());
    for (Eigen::Index f = 0; f < out.cols(); ++f) {
        const std::string& shown_by = vehicles.shown_by[static_cast<std::size_t>(f)];
        const FigureRows& from = shows_as_any(kind, cause, shown_by) ? any : vehicles.healthy;
        for (Eigen::Index r = 0; r < count; ++r) out(r, f) = from(r % from.rows(), f);
    }
    return out;
}

}  // namespace

bool shows_as_any(const ComplaintKind& kind, const CandidateCause& cause,
                  const std::string& shown_by) {
    const auto sits_in = [&](std::initializer_list<const char*> seats) {
        return std::ranges::any_of(seats, [&](const char* one) { return cause.seat == one; });
    };
    if (shown_by == "run") return kind.unsimulated == "any";
    if (shown_by == "press") return sits_in({"cover", "facings", "flywheel"});
    if (shown_by == "disc bench") return sits_in({"disc"});
    return false;
}

std::filesystem::path vehicle_file(const VehiclesAsked& asked) {
    const std::filesystem::path file(asked.vehicle);
    return file.is_absolute() ? file : asked.models / "vehicles" / (asked.vehicle + ".toml");
}

Vehicle take_vehicle(const Complaint& complaint, VehiclesAsked& asked) {
    Vehicle vehicle =
        read_vehicle(vehicle_file(asked), {.models = asked.models, .changes = {}, .measures = {}});
    asked.vehicle_class = vehicle.vehicle_class;
    asked.cylinders = vehicle.engine.cylinders;
    asked.changes = complaint.changes;
    asked.two_mass_flywheel = vehicle.two_mass_flywheel.has_value();
    asked.mounts = vehicle.mounts.has_value();
    for (const auto& [key, value] : complaint.changes) {
        if (key == "two_mass_flywheel") asked.two_mass_flywheel = value != "none";
        if (key == "mounts") asked.mounts = value != "none";
    }
    return vehicle;
}

FigureSource source_of(const ComplaintKind& kind, const ComplaintRun& run,
                       const VehiclesAsked& asked) {
    FigureSource out;
    Changes changes = run.changes;
    changes.insert(changes.end(), asked.changes.begin(), asked.changes.end());
    if (run.scenario.empty()) {
        out.vehicle = vehicle_file(asked);
        out.name = run.cover;
    } else {
        changes.insert(changes.begin(), {"vehicle", asked.vehicle});
        out.scenario = asked.scenarios / (run.scenario + ".toml");
        out.name = run.scenario;
    }
    out.options = {.models = asked.models, .changes = std::move(changes), .measures = {}};
    for (const ComplaintFigure& figure : kind.figures) {
        const bool held = figure.measure.starts_with("torque_held");
        if (figure.shown_by != "run") out.places.insert(held ? "held" : figure.shown_by);
    }
    return out;
}

const ComplaintRun* run_for(const ComplaintKind& kind, const std::string& vehicle_class) {
    const auto found = std::ranges::find(kind.runs, vehicle_class, &ComplaintRun::vehicle_class);
    return found != kind.runs.end() ? &*found : nullptr;
}

std::vector<double> figures_of(const ComplaintKind& kind, const CauseVehicles& vehicles,
                               const VehiclesAsked& asked, const Changes& changes) {
    const auto run = run_of_vehicle(kind, asked);
    if (!run) return std::vector<double>(vehicles.measures.size(), none);
    return in_order_of(vehicles, FigureBench(source_of(kind, *run, asked)).figures(changes, {}));
}

CauseVehicles known_figures(const ComplaintKind& kind, const VehiclesAsked& asked,
                            const Progress& progress) {
    return known_figures_in(run_of_vehicle(kind, asked), kind, asked, progress);
}

CauseVehicles simulate_causes(const ComplaintKind& kind, const std::map<std::string, Cause>& causes,
                              const VehiclesAsked& asked, const Progress& progress) {
    const auto run = run_of_vehicle(kind, asked);
    CauseVehicles out = known_figures_in(run, kind, asked, progress);
    if (!run || kind.figures.empty()) return out;
    const FigureSource source = source_of(kind, *run, asked);

    const auto figures = static_cast<Eigen::Index>(out.measures.size());
    const int at_most = run->vehicles > 0 ? run->vehicles : asked.count;
    const auto vehicles = static_cast<std::size_t>(std::min(asked.count, at_most));
    if (asked.count > at_most && asked.count_was_asked) {
        out.notes.push_back(
            fmt::format("{} vehicles were asked for, {} simulated for each cause: this run is long "
                        "(`vehicles` of its [[runs]] in models/complaints says how many at most)",
                        asked.count, vehicles));
    }
    // Row 0 are the sound ones, row c + 1 those with cause c.
    std::vector<const Cause*> simulated(kind.causes.size() + 1);
    for (std::size_t c = 0; c < kind.causes.size(); ++c) {
        const auto found = causes.find(kind.causes[c].cause);
        if (kind.causes[c].cause.empty() || found == causes.end()) continue;
        const bool in_mounts = std::ranges::any_of(
            found->second.changes, [](const auto& one) { return one.first.starts_with("mounts"); });
        if (in_mounts && !asked.mounts) {
            out.notes.push_back(fmt::format(
                "{}: the vehicle's file tells nothing of its mounts, so answers alone speak of it",
                kind.causes[c].title));
            continue;
        }
        simulated[c + 1] = &found->second;
    }
    std::vector<std::size_t> jobs{0};
    for (std::size_t c = 1; c < simulated.size(); ++c) {
        if (simulated[c] != nullptr) jobs.push_back(c);
    }
    std::vector<FigureRows> all(simulated.size());
    for (const std::size_t c : jobs) {
        all[c] = FigureRows::Constant(static_cast<Eigen::Index>(vehicles), figures, none);
    }
    const std::size_t count = jobs.size() * vehicles;
    const std::size_t threads = thread_count(asked.threads, count);
    std::vector<std::unique_ptr<FigureBench>> benches;
    for (std::size_t t = 0; t < threads; ++t)
        benches.push_back(std::make_unique<FigureBench>(source));
    std::vector<std::string> refused(simulated.size());
    std::mutex guard;
    std::size_t done = 0;
    const Progress stop{.report = {}, .stop_requested = progress.stop_requested};
    in_parallel(
        count, threads,
        [&](std::size_t job, std::size_t worker) {
            const std::size_t c = jobs[job / vehicles];
            const std::size_t v = job % vehicles;
            std::vector<double> values;
            const std::string why = refusal_of([&] {
                const Changes changes = changes_of_vehicle(
                    kind, c > 0 ? &kind.causes[c - 1] : nullptr, simulated[c], asked, v);
                values = in_order_of(out, benches[worker]->figures(changes, stop));
            });
            const std::lock_guard lock(guard);
            for (Eigen::Index f = 0; why.empty() && f < figures; ++f) {
                const auto i = static_cast<std::size_t>(f);
                if (std::isfinite(values[i])) {
                    all[c](static_cast<Eigen::Index>(v), f) = on_scale(values[i], out.scales[i]);
                }
            }
            if (!why.empty() && (refused[c].empty() || why < refused[c])) refused[c] = why;
            progress.tell(static_cast<double>(++done) / static_cast<double>(count));
        },
        progress.stop_requested);

    out.healthy = kept(all[0]);
    if (out.healthy.rows() == 0 && !refused[0].empty()) throw InputError(refused[0]);
    for (std::size_t c = 0; c < kind.causes.size(); ++c) {
        FigureRows rows = simulated[c + 1] != nullptr ? kept(all[c + 1]) : FigureRows();
        constexpr Eigen::Index fewest = 3;
        out.simulated[c] = rows.rows() >= fewest;
        if (simulated[c + 1] != nullptr && !out.simulated[c]) {
            out.notes.push_back(fmt::format(
                "{} could not be simulated in this run, so answers alone speak of it: {}",
                kind.causes[c].cause, refused[c + 1].substr(0, refused[c + 1].find('\n'))));
        }
        if (out.simulated[c]) out.rows[c] = std::move(rows);
    }
    const FigureRows any = all_of(out);
    for (std::size_t c = 0; c < kind.causes.size(); ++c) {
        if (!out.simulated[c]) {
            out.rows[c] = rows_of_unsimulated(kind, kind.causes[c], out, any);
        }
    }
    return out;
}

}  // namespace damper
