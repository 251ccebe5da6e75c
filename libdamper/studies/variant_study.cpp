// SPDX-License-Identifier: MIT
#include "libdamper/studies/variant_study.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/parallel.hpp"
#include "libdamper/describe/scenario_reader.hpp"
#include "libdamper/measures/known_measures.hpp"
#include "libdamper/studies/identity.hpp"
#include "libdamper/studies/measure_one.hpp"
#include "libdamper/studies/ready_run.hpp"
#include "libdamper/verdict/limits.hpp"

#include <algorithm>
#include <atomic>
#include <fmt/format.h>
#include <limits>
#include <map>
#include <mutex>
#include <optional>
#include <set>

namespace damper {

namespace {

using Inputs = std::vector<std::pair<std::string, std::string>>;

std::string grade_word(Grade grade) {
    return grade == Grade::good ? "good" : grade == Grade::watch ? "watch" : "bad";
}

std::vector<StudyMeasure> measures_of(const MeasuredRun& nominal) {
    std::vector<StudyMeasure> out;
    for (const auto& [name, units] : known_measures()) {
        StudyMeasure one{.name = name, .units = units, .definition = {}, .source = {}};
        one.nominal = std::numeric_limits<double>::quiet_NaN();
        for (const MeasureValue& value : nominal.measured.measures) {
            if (value.name != name) continue;
            one.definition = value.definition;
            one.better = value.better;
            one.nominal = value.value;
        }
        if (const auto limit = find_limit(name, nominal.facts.vehicle_class)) {
            one.has_limit = true;
            one.good = limit->good;
            one.bad = limit->bad;
            one.source = std::string(limit->source);
        }
        out.push_back(std::move(one));
    }
    return out;
}

/// A variant that the rules refuse is a result; when none of the first ones fits, a key is wrong or
/// the ranges are. What is said then is what is wrong in their middle.
void take_one_that_fits(const VariantStudy& study, const std::vector<double>& middle,
                        ScenarioReader& reader, const std::function<void(const Scenario&)>& take) {
    constexpr std::int64_t tried = 20;
    try {
        return take(reader.read(study.plan.changes(middle)));
    } catch (const InputError&) {
        for (std::int64_t v = 0; v < std::min(tried, study.plan.total()); ++v) {
            try {
                const auto values = study.plan.values(static_cast<std::uint64_t>(v));
                return take(reader.read(study.plan.changes(values)));
            } catch (const InputError&) {
                continue;
            }
        }
        throw;
    }
}

/// Every file that some variant rests on: choices may bring in parts of their own.
Inputs inputs_of(const VariantStudy& study, ScenarioReader& reader) {
    std::set<std::pair<std::string, std::string>> seen;
    Inputs out;
    const auto take = [&](const Scenario& scenario) {
        for (const auto& input : scenario.inputs) {
            if (seen.insert(input).second) out.push_back(input);
        }
    };
    std::vector<double> middle;
    for (const StudyVariable& one : study.plan.variables()) {
        const auto& levels = one.key.levels;
        const bool grid = study.plan.design() == StudyDesign::grid;
        middle.push_back(grid ? levels[levels.size() / 2] : value_at(one, 0.5));
    }
    take(reader.read({}));
    take_one_that_fits(study, middle, reader, take);
    for (std::size_t k = 0; k < middle.size(); ++k) {
        const auto& choices = study.plan.variables()[k].key.choices;
        std::vector<double> values = middle;
        for (std::size_t c = 0; c < choices.size(); ++c) {
            values[k] = static_cast<double>(c);
            take(reader.read({study.plan.changes(values)[k]}));
        }
    }
    return out;
}

/// Measures by name → their number in the head.
using Numbers = std::map<std::string, std::uint16_t, std::less<>>;

Numbers numbers_of(const StudyHead& head) {
    Numbers numbers;
    for (std::size_t i = 0; i < head.measures.size(); ++i) {
        numbers.emplace(head.measures[i].name, static_cast<std::uint16_t>(i));
    }
    return numbers;
}

void take_measures(const MeasuredRun& run, const Verdict& verdict, const Numbers& numbers,
                   VariantResult& result) {
    for (const MeasureValue& one : run.measured.measures) {
        const auto number = numbers.find(one.name);
        if (number == numbers.end()) {
            throw ModelError(
                fmt::format("the measure {} is not listed among the known ones", one.name));
        }
        result.measures.emplace_back(number->second, one.value);
    }
    for (const Judgement& one : verdict.judgements) {
        const auto number = numbers.find(one.measure);
        if (number == numbers.end()) continue;
        result.grades.emplace_back(number->second, static_cast<std::uint8_t>(one.grade));
    }
}

/// What one thread keeps from variant to variant.
struct Worker {
    ScenarioReader reader;
    RunMeasures workspace;
};

/// One variant; nothing if a stop request came on the way.
std::optional<VariantResult> run_variant(const VariantStudy& study, const Numbers& numbers,
                                         std::uint64_t variant, Worker& worker,
                                         const Progress& stop) {
    VariantResult result;
    result.variant = variant;
    result.values = study.plan.values(variant);
    try {
        const Scenario scenario = worker.reader.read(study.plan.changes(result.values));
        const MeasuredRun run = measure_one(scenario, study.run, worker.workspace, stop);
        if (stop.must_stop()) return {};
        if (run.solver.complete) {
            take_measures(run, judge_run(scenario, run.facts, run.measured), numbers, result);
        } else {
            result.ended = VariantResult::Ended::broken;
            result.why = run.solver.warnings.empty() ? "the run did not come to its end"
                                                     : run.solver.warnings.front();
        }
    } catch (const InputError& wrong) {
        result.ended = VariantResult::Ended::refused;
        result.why = wrong.what();
    } catch (const SolverError& wrong) {
        result.ended = VariantResult::Ended::broken;
        result.why = fmt::format("at {:.4g} s: {}", wrong.time(), wrong.what());
    } catch (const ModelError& wrong) {
        result.ended = VariantResult::Ended::refused;
        result.why = wrong.what();
    }
    return result;
}

}  // namespace

StudyHead head_of(const VariantStudy& study) {
    ScenarioReader reader(study.file, study.options);
    const Scenario scenario = reader.read({});
    check_settings(scenario, study.run);
    const Inputs inputs = inputs_of(study, reader);
    const MeasuredRun nominal = measure_one(scenario, study.run);
    if (!nominal.solver.complete) {
        throw InputError(fmt::format(
            "the scenario as it stands does not come to its end ({})\n    See: damper run {}",
            nominal.solver.warnings.empty() ? "no reason told" : nominal.solver.warnings.front(),
            study.file.string()));
    }
    StudyHead head;
    head.identity = identity_of(scenario, nominal.facts.manoeuvre, study.run.command_line);
    head.identity.inputs = inputs;
    head.verb = study.verb;
    head.design = name_of(study.plan.design());
    head.nominal = grade_word(judge_run(scenario, nominal.facts, nominal.measured).grade);
    head.solver = study.run.solver;
    head.asked = study.plan.asked();
    head.total = study.plan.total();
    head.seed = static_cast<std::int64_t>(study.plan.seed());
    for (const StudyVariable& one : study.plan.variables()) {
        head.keys.push_back(one.key);
        if (study.plan.design() != StudyDesign::grid) head.keys.back().levels.clear();
    }
    head.measures = measures_of(nominal);
    seal_head(head);
    return head;
}

void run_variants(const VariantStudy& study, const StudyHead& head, const VariantSet& done,
                  StudyPart part, std::size_t threads,
                  const std::function<void(const VariantResult&)>& keep, const Progress& progress) {
    std::vector<std::uint64_t> pending;
    std::int64_t mine = 0;
    for (std::int64_t v = part.part; v < study.plan.total(); v += part.parts, ++mine) {
        const auto variant = static_cast<std::uint64_t>(v);
        if (!done.holds(variant)) pending.push_back(variant);
    }
    std::int64_t finished = mine - static_cast<std::int64_t>(pending.size());
    if (pending.empty()) return progress.tell(1.0);
    std::atomic<std::size_t> at = 0;
    const auto next = [&]() -> std::optional<std::uint64_t> {
        const std::size_t mine_now = at++;
        if (mine_now >= pending.size()) return {};
        return pending[mine_now];
    };
    const auto keep_and_tell = [&](const VariantResult& result) {
        keep(result);
        ++finished;
        progress.tell(static_cast<double>(finished) / static_cast<double>(mine));
    };
    run_variants(study, head, next, thread_count(threads, pending.size()), keep_and_tell,
                 progress.stop_requested);
}

void run_variants(const VariantStudy& study, const StudyHead& head, const NextVariant& next,
                  std::size_t threads, const std::function<void(const VariantResult&)>& keep,
                  const std::function<bool()>& stop_requested) {
    const Numbers numbers = numbers_of(head);
    std::vector<Worker> workers;
    for (std::size_t w = 0; w < threads; ++w) {
        workers.push_back({ScenarioReader(study.file, study.options), {}});
    }
    const Progress stop{.report = {}, .stop_requested = stop_requested};
    std::mutex guard;
    std::atomic<bool> failed = false;
    const auto work = [&](std::size_t, std::size_t worker) {
        while (!stop.must_stop() && !failed) {
            const auto variant = next();
            if (!variant) return;
            const auto result = run_variant(study, numbers, *variant, workers[worker], stop);
            if (!result) return;
            const std::lock_guard lock(guard);
            if (failed) return;
            try {
                keep(*result);
            } catch (...) {
                failed = true;  // what is under way elsewhere could not be kept either
                throw;
            }
        }
    };
    in_parallel(threads, threads, work);
}

}  // namespace damper
