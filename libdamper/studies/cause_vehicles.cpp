// SPDX-License-Identifier: MIT
#include "libdamper/studies/cause_vehicles.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/parallel.hpp"
#include "libdamper/numerics/counted_random.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/studies/discs_of_class.hpp"
#include "libdamper/studies/study_variable.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <memory>
#include <mutex>
#include <numbers>
#include <optional>

namespace damper {

namespace {

using Changes = std::vector<std::pair<std::string, std::string>>;

constexpr double none = std::numeric_limits<double>::quiet_NaN();

/// Standard normal from two even numbers. G. E. P. Box, M. E. Muller, "A note on the generation of
/// random normal deviates", Ann. Math. Stat. 29 (1958).
double normal_of(double a, double b) {
    return std::sqrt(-2.0 * std::log(a)) * std::cos(2.0 * std::numbers::pi * b);
}

/// A draw from "LOW..HIGH": 95 % of vehicles lie between, none beyond.
std::string scattered(const std::string& key, const std::string& range, double a, double b) {
    const StudyVariable variable = read_range(key + "=" + range);
    const double share = std::clamp(0.5 + 0.25 * normal_of(a, b), 0.0, 1.0);
    return text_of(variable, value_at(variable, share));
}

/// A draw from anywhere in the plausible range of a cause.
std::string ranged(const std::string& key, const std::string& range, double a) {
    const StudyVariable variable = read_range(key + "=" + range);
    const double low = value_at(variable, 0.0), high = value_at(variable, 1.0);
    // Factors over more than an octave: even on a logarithm, so that 1/3 is as likely as 3.
    if (variable.key.multiplies && low > 0.0 && high > 2.0 * low) {
        return text_of(variable, low * std::pow(high / low, a));
    }
    return text_of(variable, value_at(variable, a));
}

/// The second cylinder gives this share of the others' torque: a list as long as the engine's.
std::string one_weak_of(int cylinders, const std::string& share) {
    std::string out = "[1";
    for (int i = 1; i < cylinders; ++i) {
        out += ", ";
        out += i == 1 ? share : "1";
    }
    return out + "]";
}

/// A list that a cause gives to the cylinders is written for four of them: its second entry counts,
/// which may be a range.
constexpr const char* gains = "engine.cylinder_gains";

std::string second_of(const std::string& list) {
    const std::size_t first = list.find(',');
    if (first == std::string::npos) return "1";
    const std::size_t second = list.find_first_of(",]", first + 1);
    const std::size_t begin = list.find_first_not_of(' ', first + 1);
    return list.substr(begin, second - begin);
}

std::string changed_gains(const std::string& list, const VehiclesAsked& asked, double a) {
    const std::string share = second_of(list);
    const bool is_range = share.find("..") != std::string::npos;
    return one_weak_of(asked.cylinders,
                       is_range ? ranged("engine.cylinder_gain", share, a) : share);
}

/// Takes units, definitions and scales from what the sound vehicle gives.
void describe_figures(const ComplaintKind& kind, const std::vector<NamedFigure>& sound,
                      CauseVehicles& out) {
    for (const ComplaintFigure& figure : kind.figures) {
        const NamedFigure* named = find_figure(sound, figure.measure);
        if (named == nullptr) {
            out.notes.push_back(fmt::format("the figure {} is left out: {} does not give it",
                                            figure.measure, out.run));
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
        out.units.push_back(named->units);
        out.definitions.push_back(named->definition);
        out.scales.push_back({.error = figure.error.si(), .floor = *value});
    }
}

std::vector<double> in_order_of(const std::vector<std::string>& measures,
                                const std::vector<NamedFigure>& all) {
    std::vector<double> out;
    for (const std::string& name : measures) {
        const NamedFigure* named = find_figure(all, name);
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

}  // namespace

FigureSource source_of(const ComplaintRun& run, const VehiclesAsked& asked) {
    FigureSource out;
    Changes own(run.changes);
    own.insert(own.end(), asked.changes.begin(), asked.changes.end());
    if (run.scenario.empty()) {
        const std::filesystem::path file(asked.vehicle);
        out.vehicle =
            file.is_absolute() ? file : asked.models / "vehicles" / (asked.vehicle + ".toml");
        out.name = run.cover;
    } else {
        own.insert(own.begin(), {"vehicle", asked.vehicle});
        out.scenario = asked.scenarios / (run.scenario + ".toml");
        out.name = run.scenario;
    }
    out.options = {.models = asked.models, .changes = std::move(own), .measures = {}};
    return out;
}

const ComplaintRun* run_for(const ComplaintKind& kind, const std::string& vehicle_class) {
    const auto found = std::ranges::find(kind.runs, vehicle_class, &ComplaintRun::vehicle_class);
    return found != kind.runs.end() ? &*found : nullptr;
}

Changes changes_of_vehicle(const ComplaintKind& kind, const CandidateCause* candidate,
                           const Cause* cause, const VehiclesAsked& asked, std::uint64_t number) {
    Changes out;
    std::uint64_t place = 0;
    const auto random = [&] { return counted_random(asked.seed, number, place++); };
    for (const auto& [key, range] : kind.scatter) {
        const double a = random(), b = random();
        out.emplace_back(key, scattered(key, range, a, b));
    }
    if (cause == nullptr) return out;
    place = 1000;  // the same numbers whatever the scatter has
    for (const auto& [key, value] : cause->changes) {
        const bool has_range =
            candidate != nullptr && std::ranges::any_of(candidate->ranges, [&](const auto& one) {
                return one.first == key;
            });
        if (!has_range && key == gains) {
            out.emplace_back(key, changed_gains(value, asked, 0.5));
        } else if (!has_range) {
            out.emplace_back(
                key, name_for_class(asked.models / (key + "s"), value, asked.vehicle_class));
        }
    }
    if (candidate != nullptr) {
        for (const auto& [key, range] : candidate->ranges) {
            const double a = random();
            out.emplace_back(key,
                             key == gains ? changed_gains(range, asked, a) : ranged(key, range, a));
        }
    }
    return out;
}

std::vector<double> figures_of(const ComplaintKind& kind, const VehiclesAsked& asked,
                               const Changes& changes) {
    const ComplaintRun* run = run_for(kind, asked.vehicle_class);
    std::vector<std::string> measures;
    for (const ComplaintFigure& figure : kind.figures) measures.push_back(figure.measure);
    if (run == nullptr) return std::vector<double>(measures.size(), none);
    return in_order_of(measures, FigureBench(source_of(*run, asked)).figures(changes, {}).figures);
}

CauseVehicles simulate_causes(const ComplaintKind& kind, const std::map<std::string, Cause>& causes,
                              const VehiclesAsked& asked, const Progress& progress) {
    CauseVehicles out;
    const ComplaintRun* run = run_for(kind, asked.vehicle_class);
    out.rows.resize(kind.causes.size());
    out.simulated.resize(kind.causes.size());
    if (run == nullptr || kind.figures.empty()) return out;
    out.run =
        run->scenario.empty() ? "damper cover " + asked.vehicle : "damper run " + run->scenario;
    describe_figures(kind, FigureBench(source_of(*run, asked)).figures({}, progress).figures, out);

    const auto figures = static_cast<Eigen::Index>(out.measures.size());
    const int at_most = run->vehicles > 0 ? run->vehicles : asked.count;
    const auto vehicles = static_cast<std::size_t>(std::min(asked.count, at_most));
    // Row 0 are the sound ones, row c + 1 those with cause c.
    std::vector<const Cause*> simulated(kind.causes.size() + 1);
    for (std::size_t c = 0; c < kind.causes.size(); ++c) {
        const auto found = causes.find(kind.causes[c].cause);
        if (!kind.causes[c].cause.empty() && found != causes.end())
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
    const FigureSource source = source_of(*run, asked);
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
            std::string why;
            std::vector<double> values;
            try {
                const Changes changes = changes_of_vehicle(
                    kind, c > 0 ? &kind.causes[c - 1] : nullptr, simulated[c], asked, v);
                values = in_order_of(out.measures, benches[worker]->figures(changes, stop).figures);
            } catch (const InputError& wrong) {
                why = wrong.what();
            } catch (const SolverError& wrong) {
                why = wrong.what();
            } catch (const ModelError& wrong) {
                why = wrong.what();
            }
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
        out.rows[c] = out.simulated[c] ? std::move(rows) : out.healthy;
    }
    if (kind.unsimulated == "any") {
        const FigureRows any = all_of(out);
        for (std::size_t c = 0; c < kind.causes.size(); ++c) {
            if (!out.simulated[c]) out.rows[c] = any;
        }
    }
    return out;
}

}  // namespace damper
