// SPDX-License-Identifier: MIT
#include "libdamper/studies/tune_study.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/nearest_word.hpp"
#include "libdamper/base/parallel.hpp"
#include "libdamper/describe/write_disc.hpp"
#include "libdamper/measures/known_measures.hpp"
#include "libdamper/numerics/counted_random.hpp"
#include "libdamper/numerics/sobol_sequence.hpp"
#include "libdamper/studies/compare_study.hpp"
#include "libdamper/studies/identity.hpp"
#include "libdamper/studies/measure_one.hpp"
#include "libdamper/studies/tune_front.hpp"
#include "libdamper/studies/tune_trial.hpp"
#include "libdamper/verdict/limits.hpp"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <fmt/format.h>
#include <map>
#include <mutex>
#include <set>

namespace damper {

namespace {

// How the candidates are shared out; found by measuring on the van, benchmarks/README.md.
constexpr double sample_share = 0.4, first_share = 0.4;
constexpr std::size_t searches = 8;
constexpr double first_step = 0.12, second_step = 0.03;  // of the range
constexpr double enough = 1e-3;                          // of the range: below what is rounded
constexpr double apart = 0.15;  // starts differ by as much in one key at least
constexpr double depth = 0.5;   // margins: a convention of this tool
constexpr std::size_t batch = 64;
constexpr double allowed = 0.1;      // worse than fitted, of what is out of reach; a convention
constexpr std::size_t scouts = 128;  // at most; run in every case, whatever they give

/// What goes along with the whole search.
struct Search {
    const TuneRequest& request;
    TuneRecord& record;
    const TuneSpace& space;
    TuneTrial trial;
    std::vector<TuneWorker> workers;
    Progress stop;
    const Progress& progress;
    std::mutex guard{};
    std::size_t tried = 0;

    void tell() {
        const std::lock_guard lock(guard);
        ++tried;
        progress.tell(
            std::min(1.0, static_cast<double>(tried) /
                              static_cast<double>(std::max<std::int64_t>(record.planned, 1))));
    }
};

std::vector<Scenario> read_all(const TuneRequest& request) {
    std::vector<Scenario> out;
    std::set<std::string> names;
    for (const auto& file : request.scenarios) {
        out.push_back(read_scenario(file, request.read));
        const Scenario& here = out.back();
        if (!names.insert(here.name).second) {
            throw InputError(fmt::format("two scenarios have the name {}", here.name));
        }
        const Scenario& first = out.front();
        if (disc_toml(here.vehicle.disc) != disc_toml(first.vehicle.disc)) {
            throw InputError(fmt::format(
                "{} has the disc \"{}\", {} has \"{}\"; expected one disc to begin with. Say "
                "which: "
                "--set disc=NAME",
                first.name, first.vehicle.disc.title, here.name, here.vehicle.disc.title));
        }
        if (here.vehicle.vehicle_class != first.vehicle.vehicle_class) {
            throw InputError(fmt::format("{} is a {}, {} a {}; expected vehicles of one class",
                                         first.name, first.vehicle.vehicle_class, here.name,
                                         here.vehicle.vehicle_class));
        }
    }
    return out;
}

std::vector<Judgement> measures_of(const std::string& vehicle_class) {
    std::vector<Judgement> out;
    for (const auto& [name, units] : known_measures()) {
        const auto limit = find_limit(name, vehicle_class);
        if (!limit) continue;
        Judgement one;
        one.measure = name;
        one.units = units;
        one.good = limit->good;
        one.bad = limit->bad;
        one.source = std::string(limit->source);
        out.push_back(std::move(one));
    }
    return out;
}

void check_left_out(const TuneRecord& record) {
    std::vector<std::string> known;
    for (const Judgement& one : record.measures) known.push_back(one.measure);
    for (const std::string& name : record.left_out) {
        if (std::ranges::find(known, name) != known.end()) continue;
        const std::string near = nearest_word(name, known);
        throw InputError(
            fmt::format("--leave-out {}: found the unknown name; expected a measure with a limit{}",
                        name, near.empty() ? "" : fmt::format("; did you mean {}?", near)));
    }
}

/// Runs every case with the fitted disc; cheapest first from then on.
void find_cases(const TuneRequest& request, TuneRecord& record) {
    for (std::size_t s = 0; s < record.scenarios.size(); ++s) {
        for (std::size_t c = 0; c < record.conditions.size(); ++c) {
            ReadOptions read = request.read;
            const auto& more = record.conditions[c].changes;
            read.changes.insert(read.changes.end(), more.begin(), more.end());
            const Scenario scenario = read_scenario(request.scenarios[s], read);
            check_settings(scenario, request.run);
            const MeasuredRun run = measure_one(scenario, request.run);
            if (!run.solver.complete) {
                throw InputError(fmt::format(
                    "{} as it stands does not come to its end ({})\n    See: damper run {}",
                    scenario.name,
                    run.solver.warnings.empty() ? "no reason told" : run.solver.warnings.front(),
                    request.scenarios[s].string()));
            }
            record.cases.push_back({s, c, run.solver.steps});
        }
    }
    std::ranges::stable_sort(record.cases, {}, &TuneCase::steps);
}

PackagingPractice practice_for(const TuneRequest& request, const std::string& vehicle_class) {
    PackagingPractice out = packaging_practice(vehicle_class);
    const AskedPackaging& asked = request.packaging;
    out.stop_factor = asked.stop_factor.value_or(out.stop_factor);
    out.coast_stop_factor = asked.coast_stop_factor.value_or(out.coast_stop_factor);
    out.spring_work_factor = asked.spring_work_factor.value_or(out.spring_work_factor);
    return out;
}

void tell_limits(const TuneRequest& request, const DiscPackaging& limits, const Disc& fitted,
                 TuneRecord& record) {
    const DiscReach now = reach_of(fitted);
    const std::string practice = "common practice, no source";
    const auto source = [&](const std::optional<double>& asked) {
        return asked ? std::string("as asked for") : practice;
    };
    const AskedPackaging& asked = request.packaging;
    record.limits = {
        {"twist to the drive stop", "rad", limits.drive_twist, true, now.drive_twist, 0.0,
         source(asked.drive_twist)},
        {"twist to the coast stop", "rad", limits.coast_twist, true, now.coast_twist, 0.0,
         source(asked.coast_twist)},
        {"torque at the drive stop", "N.m", limits.stop_torque, false, now.stop_torque, 0.0,
         source(asked.stop_factor)},
        {"torque at the coast stop", "N.m", limits.coast_stop_torque, false, now.coast_stop_torque,
         0.0, source(asked.coast_stop_factor)},
        {"work in the springs", "J", limits.spring_work, true, now.spring_work, 0.0,
         asked.spring_work_factor ? "as asked for" : "estimate of this tool from the fitted disc"},
    };
}

/// The floor for a batch: what is this far below the best so far is not worth its other cases.
std::optional<Standing> floor_of(const TuneRecord& record, std::size_t best) {
    if (record.candidates.empty()) return std::nullopt;
    const std::vector<Standing> all = standings_of(record.candidates[best]);
    if (all.empty()) return std::nullopt;
    return Standing{all.front().grade, all.front().margin - depth};
}

/// Adds a candidate and says whether it is the best now.
void take(TuneRecord& record, TuneCandidate candidate) {
    record.candidates.push_back(std::move(candidate));
    const std::size_t last = record.candidates.size() - 1;
    if (record.candidates[last].end != TuneCandidate::End::done) return;
    if (better(standings_of(record.candidates[last]), standings_of(record.candidates[record.best])))
        record.best = last;
}

void sample(Search& search, std::size_t from, std::size_t count, bool cut) {
    const std::size_t keys = search.space.keys().size();
    const SobolSequence sequence(keys);
    for (std::size_t begin = from; begin < count && !search.stop.must_stop(); begin += batch) {
        const std::size_t size = std::min(batch, count - begin);
        const auto floor =
            cut ? floor_of(search.record, search.record.best) : std::optional<Standing>();
        std::vector<std::optional<TuneCandidate>> results(size);
        in_parallel(
            size, search.workers.size(),
            [&](std::size_t job, std::size_t worker) {
                std::vector<double> cube(keys);
                for (std::size_t k = 0; k < keys; ++k) {
                    // Moved as a whole, which leaves the points as even as they are: R. Cranley,
                    // T. N. L. Patterson, SIAM J. Numer. Anal. 13 (1976) 904–914 (recalled).
                    cube[k] = std::fmod(sequence.coordinate(begin + job + 1, k) +
                                            counted_random(search.request.seed, 0, k),
                                        1.0);
                }
                results[job] = search.trial.of(search.space.values(cube), floor,
                                               search.workers[worker], search.stop);
                if (results[job]) results[job]->origin = "sample";
                search.tell();
            },
            search.stop.stop_requested);
        for (auto& one : results) {
            if (one) take(search.record, std::move(*one));
        }
    }
}

/// The best points so far that lie apart, as points of the cube.
std::vector<std::vector<double>> starts(const Search& search, std::size_t count) {
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t i = 0; i < search.record.candidates.size(); ++i) {
        order.emplace_back(-climbing_score(search.record.candidates[i]), i);
    }
    std::ranges::sort(order);
    std::vector<std::vector<double>> out;
    for (const auto& [score, i] : order) {
        if (out.size() == count) break;
        std::vector<double> cube = search.space.cube(search.record.candidates[i].values);
        const bool near = std::ranges::any_of(out, [&](const auto& other) {
            double most = 0.0;
            for (std::size_t k = 0; k < cube.size(); ++k) {
                most = std::max(most, std::abs(cube[k] - other[k]));
            }
            return most < apart;
        });
        if (!near) out.push_back(std::move(cube));
    }
    return out;
}

/// One search; what it tried goes to `results` in order.
void climb_from(Search& search, const std::vector<double>& start, std::size_t evaluations,
                double step, const std::optional<Standing>& floor, std::size_t worker,
                std::vector<TuneCandidate>& results) {
    const std::size_t keys = start.size();
    LocalSearch local;
    local.method = search.request.method;
    if (keys < 2 && local.method == SearchMethod::bobyqa) local.method = SearchMethod::subplex;
    local.low.assign(keys, 0.0);
    local.high.assign(keys, 1.0);
    local.step.assign(keys, step);
    local.evaluations = evaluations;
    local.enough = enough;
    std::map<std::vector<double>, double> known;  // rounding makes neighbours one
    const auto score = [&](const std::vector<double>& cube) {
        const std::vector<double> values = search.space.values(cube);
        if (const auto found = known.find(values); found != known.end()) return found->second;
        auto result = search.trial.of(values, floor, search.workers[worker], search.stop);
        search.tell();
        if (!result) return std::numeric_limits<double>::lowest();
        const double height = climbing_score(*result);
        known.emplace(values, height);
        results.push_back(std::move(*result));
        return height;
    };
    (void)climb(local, start, score, search.stop.stop_requested);
}

void climb_all(Search& search, std::size_t count, std::size_t evaluations, double step,
               int& number) {
    if (search.stop.must_stop() || evaluations < 1) return;
    const auto from = starts(search, count);
    const auto floor = floor_of(search.record, search.record.best);
    std::vector<std::vector<TuneCandidate>> results(from.size());
    in_parallel(
        from.size(), search.workers.size(),
        [&](std::size_t job, std::size_t worker) {
            climb_from(search, from[job], evaluations, step, floor, worker, results[job]);
        },
        search.stop.stop_requested);
    for (auto& one : results) {
        ++number;
        for (TuneCandidate& candidate : one) {
            candidate.origin = fmt::format("search {}", number);
            take(search.record, std::move(candidate));
        }
    }
}

/// The tuned disc as a file, and what it is like beside the fitted one.
void describe_best(const TuneRequest& request, const TuneSpace& space, TuneRecord& record) {
    const TuneCandidate& best = record.candidates[record.best];
    const bool changed = record.best != 0;
    if (changed) record.changes = space.changes(best.values);
    ReadOptions read = request.read;
    read.changes.insert(read.changes.end(), record.changes.begin(), record.changes.end());
    Disc disc = read_scenario(request.scenarios.front(), read).vehicle.disc;
    const DiscReach reach = reach_of(disc);
    const double tuned[] = {reach.drive_twist, reach.coast_twist, reach.stop_torque,
                            reach.coast_stop_torque, reach.spring_work};
    for (std::size_t i = 0; i < record.limits.size(); ++i) record.limits[i].tuned = tuned[i];
    std::vector<std::string> remarks = {
        "Found by damper tune. A wish for a disc, not a design: strength, life and wear of springs",
        "and windows are for its maker to say."};
    std::map<std::string, std::string> comments;
    for (const auto& [key, value] : record.changes) {
        if (key.starts_with("disc.")) {
            comments[key.substr(5)] = "chosen by the search";
        } else {
            remarks.push_back(fmt::format("It goes with --set '{}={}'.", key, value));
        }
    }
    if (changed) {
        disc.title += ", tuned";
        disc.origin = "found by damper tune from: " + disc.origin;
    }
    record.disc = disc_toml(disc, comments, remarks);
}

void compare_best(const TuneRequest& request, const Progress& stop, TuneRecord& record) {
    CompareRequest compare{.scenarios = request.scenarios,
                           .options = {},
                           .conditions = request.conditions,
                           .read = request.read,
                           .run = request.run,
                           .threads = request.threads};
    if (record.best != 0) {
        compare.options.push_back(
            {.name = "tuned", .changes = record.changes, .fitted = false, .loop = {}});
    }
    record.comparison =
        compare_discs(compare, {.report = {}, .stop_requested = stop.stop_requested});
}

TuneKeyRecord told(const TuneKey& key) {
    return {key.variable.key, key.low,      key.high, key.fitted,
            key.logarithmic,  key.follower, key.why};
}

/// The request without what causes do to the fitted disc: another one is searched for.
TuneRequest for_sound_discs(const TuneRequest& asked, std::vector<std::string>& left_out) {
    TuneRequest out = asked;
    const auto leave_out = [&](const std::string& cause) {
        if (std::ranges::find(left_out, cause) == left_out.end()) left_out.push_back(cause);
    };
    out.read.changes.clear();
    out.read.causes.clear();
    for (std::size_t i = 0; i < asked.read.changes.size(); ++i) {
        const OfCause cause = cause_of(asked.read, i);
        if (cause.goes_with_disc) {
            leave_out(cause.name);
            continue;
        }
        out.read.changes.push_back(asked.read.changes[i]);
        out.read.causes.push_back(cause);
    }
    for (CompareCondition& condition : out.conditions) {
        for (std::size_t i = condition.of_fitted.size(); i-- > 0;) {
            const ChangeOfFitted& one = condition.of_fitted[i];
            leave_out(one.cause);
            condition.changes.erase(condition.changes.begin() +
                                    static_cast<std::ptrdiff_t>(one.change));
        }
        condition.of_fitted.clear();
    }
    return out;
}

}  // namespace

TuneRecord tune_disc(const TuneRequest& asked, const Progress& progress) {
    std::vector<std::string> causes_left_out;
    const TuneRequest request = for_sound_discs(asked, causes_left_out);
    const std::vector<Scenario> scenarios = read_all(request);
    const Scenario& first = scenarios.front();
    const TuneSpace space(free_keys(request.free, first, "--free"));
    TuneRecord record;
    record.identity = identity_of(first, "", request.run.command_line);
    record.conditions = request.conditions;
    record.causes_left_out = std::move(causes_left_out);
    std::map<std::string, std::string> inputs;
    for (const Scenario& one : scenarios) {
        record.scenarios.push_back({one.name, one.title, one.vehicle.title});
        for (const auto& [file, digest] : one.inputs) inputs[file] = digest;
    }
    record.identity.inputs.assign(inputs.begin(), inputs.end());
    for (const TuneKey& one : space.keys()) record.keys.push_back(told(one));
    record.measures = measures_of(first.vehicle.vehicle_class);
    record.left_out = request.left_out;
    check_left_out(record);
    record.method = std::string(name_of(request.method));
    record.seed = static_cast<std::int64_t>(request.seed);
    record.planned = request.evaluations;
    record.depth = depth;
    record.allowed = allowed;
    const Disc& fitted = first.vehicle.disc;
    DiscPackaging packaging = packaging_of(practice_for(request, first.vehicle.vehicle_class),
                                           fitted, first.vehicle.engine.peak_torque.si());
    packaging.drive_twist = request.packaging.drive_twist.value_or(packaging.drive_twist);
    packaging.coast_twist = request.packaging.coast_twist.value_or(packaging.coast_twist);
    tell_limits(request, packaging, fitted, record);
    find_cases(request, record);

    Search search{.request = request,
                  .record = record,
                  .space = space,
                  .trial = {&record, &space, packaging, &request.run},
                  .workers = {},
                  .stop = {.report = {}, .stop_requested = progress.stop_requested},
                  .progress = progress};
    const std::size_t threads = thread_count(request.threads, batch);
    for (std::size_t w = 0; w < threads; ++w) {
        TuneWorker& worker = search.workers.emplace_back();
        for (const auto& file : request.scenarios) worker.readers.emplace_back(file, request.read);
    }
    auto as_fitted = search.trial.of_fitted(search.workers.front(), search.stop);
    if (!as_fitted) as_fitted.emplace().origin = "fitted";
    if (as_fitted->cases.empty()) as_fitted->cases.resize(record.cases.size());
    record.candidates.push_back(std::move(*as_fitted));
    choose_objectives(record, request.front);  // what is wrong with the names is told at once

    const auto planned = static_cast<double>(request.evaluations);
    const auto strewn = static_cast<std::size_t>(std::max(1.0, sample_share * planned));
    const std::size_t ahead = std::min(scouts, strewn / 2);
    sample(search, 0, ahead, false);
    find_out_of_reach(record);
    settle(record);
    choose_objectives(record, request.front);
    sample(search, ahead, strewn, true);
    int number = 0;
    climb_all(search, searches, static_cast<std::size_t>(first_share * planned / searches),
              first_step, number);
    climb_all(search, searches / 2,
              static_cast<std::size_t>((1.0 - sample_share - first_share) * planned /
                                       (static_cast<double>(searches) / 2.0)),
              second_step, number);
    progress.tell(1.0);
    record.stopped = progress.must_stop();
    settle(record);
    describe_best(request, space, record);
    if (!record.stopped) compare_best(request, search.stop, record);
    return record;
}

}  // namespace damper
