// SPDX-License-Identifier: MIT
#include "libdamper/studies/tune_trial.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/studies/measure_one.hpp"
#include "libdamper/studies/ready_run.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <new>

namespace damper {

namespace {

using Changes = std::vector<std::pair<std::string, std::string>>;

/// Scores of candidates that did not run, far below all others. Packaging misses get worse with
/// their size, so that a search finds its way back.
constexpr double packing_score = -1e3, failed_score = -1e6;
constexpr double lowest_position = -100.0, highest_position = 1.0;
/// How much each next worst figure counts; a convention of this tool.
constexpr double next_weight = 0.05;
constexpr std::size_t counted = 4;

/// 0 at good, down to −1 at bad and on from there. A grade may be milder than the value (soft
/// impacts): such a figure nears −1 the further it is beyond, so that there is a slope to climb.
double position_of(const Judgement& one) {
    constexpr double mild = 0.1;  // of the scale is kept for them
    if (one.grade == Grade::good) return one.margin;
    const double range = std::abs(one.bad - one.good);
    const double beyond = std::abs(one.value - one.good);
    if (std::isnan(beyond)) return lowest_position;
    if (one.grade == Grade::watch) {
        return beyond <= range ? -(1.0 - mild) * beyond / range : -1.0 + mild * range / beyond;
    }
    return range > 0.0 ? -beyond / range : -1.0 + std::min(one.margin, 0.0);
}

/// Whether the run came to its end; its figures go to `figures`.
bool run_case(const TuneTrial& trial, const Scenario& scenario, std::size_t of_case,
              TuneWorker& worker, const Progress& stop, TuneCandidate& out) {
    const MeasuredRun run = measure_one(scenario, *trial.run, worker.workspace, stop);
    if (!run.solver.complete) {
        out.end = TuneCandidate::End::broken;
        out.message = run.solver.warnings.empty() ? "the run did not come to its end"
                                                  : run.solver.warnings.front();
        return false;
    }
    out.cases[of_case] = figures_of(judge(run.facts, run.measured).judgements,
                                    trial.record->measures, trial.record->left_out);
    set_aside(*trial.record, of_case, out.cases[of_case]);
    return true;
}

std::string first_line(const char* text) {
    const std::string whole = text;
    return whole.substr(0, whole.find('\n'));
}

/// All cases; false if it was stopped.
bool run_cases(const TuneTrial& trial, const Changes& changes, const std::optional<Standing>& floor,
               bool packed, TuneWorker& worker, const Progress& stop, TuneCandidate& out) {
    const TuneRecord& record = *trial.record;
    out.cases.resize(record.cases.size());
    for (std::size_t c = 0; c < record.cases.size(); ++c) {
        Changes all = changes;
        const Changes& more = record.conditions[record.cases[c].condition].changes;
        all.insert(all.end(), more.begin(), more.end());
        const Scenario scenario = worker.readers[record.cases[c].scenario].read(all);
        if (packed && c == 0) {
            // Conditions may wear or heat the disc: what is packed is the disc without them.
            const Disc disc =
                more.empty() ? scenario.vehicle.disc
                             : worker.readers[record.cases[c].scenario].read(changes).vehicle.disc;
            for (const PackagingMiss& miss : packaging_misses(disc, trial.packaging)) {
                out.beyond += miss.share;
                out.message += (out.message.empty() ? "" : "; ") + miss.what;
            }
            if (!out.message.empty()) {
                out.end = TuneCandidate::End::packing;
                return true;
            }
        }
        if (!run_case(trial, scenario, c, worker, stop, out)) return !stop.must_stop();
        if (!floor || c + 1 == record.cases.size()) continue;
        for (const TuneFigure& one : out.cases[c]) {
            if (!one.aside && worse({one.grade, one.margin}, *floor))
                out.end = TuneCandidate::End::cut;
        }
        if (out.end == TuneCandidate::End::cut) return true;
    }
    return !stop.must_stop();
}

std::optional<TuneCandidate> guarded(const TuneTrial& trial, const std::vector<double>& values,
                                     const Changes& changes, const std::optional<Standing>& floor,
                                     bool packed, TuneWorker& worker, const Progress& stop) {
    TuneCandidate out;
    out.values = values;
    const auto failed = [&](TuneCandidate::End end, std::string why) {
        out.end = end;
        out.message = std::move(why);
        out.cases.assign(trial.record->cases.size(), {});
    };
    try {
        if (!run_cases(trial, changes, floor, packed, worker, stop, out)) return std::nullopt;
    } catch (const InputError& wrong) {
        failed(TuneCandidate::End::refused, first_line(wrong.what()));
    } catch (const ModelError& wrong) {
        failed(TuneCandidate::End::refused, wrong.what());
    } catch (const SolverError& wrong) {
        failed(TuneCandidate::End::broken,
               fmt::format("at {:.4g} s: {}", wrong.time(), wrong.what()));
    } catch (const std::bad_alloc&) {
        failed(TuneCandidate::End::broken, "there is not enough memory");
    }
    return out;
}

}  // namespace

std::optional<TuneCandidate> TuneTrial::of(const std::vector<double>& values,
                                           const std::optional<Standing>& floor, TuneWorker& worker,
                                           const Progress& stop) const {
    return guarded(*this, values, space->changes(values), floor, true, worker, stop);
}

std::optional<TuneCandidate> TuneTrial::of_fitted(TuneWorker& worker, const Progress& stop) const {
    std::vector<double> values;
    for (const TuneKey& one : space->keys()) values.push_back(one.fitted);
    auto out = guarded(*this, values, {}, std::nullopt, false, worker, stop);
    if (out) out->origin = "fitted";
    return out;
}

std::vector<TuneFigure> figures_of(const std::vector<Judgement>& judgements,
                                   const std::vector<Judgement>& measures,
                                   const std::vector<std::string>& left_out) {
    std::vector<TuneFigure> out;
    for (const Judgement& one : judgements) {
        if (std::ranges::find(left_out, one.measure) != left_out.end()) continue;
        if (one.good == 0.0 && one.margin == 0.0) continue;
        const auto known = std::ranges::find(measures, one.measure, &Judgement::measure);
        if (known == measures.end()) continue;
        out.push_back({.measure = static_cast<std::uint16_t>(known - measures.begin()),
                       .grade = one.grade,
                       .value = one.value,
                       .margin = one.margin,
                       .position = position_of(one)});
    }
    return out;
}

void set_aside(const TuneRecord& record, std::size_t of_case, std::vector<TuneFigure>& figures) {
    for (const OutOfReach& held : record.out_of_reach) {
        if (held.of_case != of_case) continue;
        const Judgement& limit = record.measures[held.measure];
        const double sense = limit.bad >= limit.good ? 1.0 : -1.0;
        for (TuneFigure& one : figures) {
            if (one.measure != held.measure) continue;
            const double scale = held.fitted != 0.0 ? std::abs(held.fitted) : 1.0;
            const double beyond = sense * (one.value - held.fitted) / scale - record.allowed;
            one.aside = !(beyond > 0.0);
            if (one.aside) continue;
            one.grade = Grade::bad;
            one.margin = -beyond;
            one.position = -1.0 - beyond;
        }
    }
}

std::vector<Standing> standings_of(const TuneCandidate& candidate) {
    std::vector<Standing> out;
    for (const auto& one_case : candidate.cases) {
        for (const TuneFigure& one : one_case) {
            if (!one.aside) out.push_back({one.grade, one.margin});
        }
    }
    std::ranges::stable_sort(out, [](const Standing& a, const Standing& b) { return worse(a, b); });
    return out;
}

Standing standing_in(const TuneCandidate& candidate, const TuneObjective& objective) {
    Standing worst{Grade::good, std::numeric_limits<double>::infinity()};
    for (const auto& [of_case, measure] : objective.parts) {
        for (const TuneFigure& one : candidate.cases[of_case]) {
            if (one.aside || (measure >= 0 && one.measure != measure)) continue;
            const Standing here{one.grade, one.margin};
            if (worse(here, worst)) worst = here;
        }
    }
    return worst;
}

double climbing_score(const TuneCandidate& candidate) {
    switch (candidate.end) {
        case TuneCandidate::End::packing:
            return packing_score * (1.0 + candidate.beyond);
        case TuneCandidate::End::refused:
        case TuneCandidate::End::broken:
            return failed_score;
        case TuneCandidate::End::done:
        case TuneCandidate::End::cut:
            break;
    }
    std::vector<double> positions;
    for (const auto& one_case : candidate.cases) {
        for (const TuneFigure& one : one_case) {
            if (!one.aside)
                positions.push_back(std::clamp(one.position, lowest_position, highest_position));
        }
    }
    std::ranges::sort(positions);
    positions.resize(counted, highest_position);
    double score = 0.0, weight = 1.0;
    for (const double one : positions) {
        score += weight * one;
        weight *= next_weight;
    }
    return score;
}

}  // namespace damper
