// SPDX-License-Identifier: MIT
#include "libdamper/studies/compare_study.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/parallel.hpp"
#include "libdamper/measures/run_measures.hpp"
#include "libdamper/studies/identity.hpp"
#include "libdamper/studies/measure_one.hpp"
#include "libdamper/studies/ready_run.hpp"
#include "libdamper/studies/run_one.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <map>
#include <memory>
#include <mutex>
#include <new>
#include <set>
#include <utility>

namespace damper {

namespace {

using Changes = std::vector<std::pair<std::string, std::string>>;

/// Whether another disc is put in; else the fitted one stays, with or without changes.
bool is_other_disc(const CompareOption& option) {
    return std::ranges::any_of(option.changes, [](const auto& change) {
        return change.first == "disc" || change.first == "vehicle.disc";
    });
}

bool is_of_fitted(const CompareCondition& condition, std::size_t change) {
    return std::ranges::find(condition.of_fitted, change, &ChangeOfFitted::change) !=
           condition.of_fitted.end();
}

/// The disc comes first: conditions may change values inside it. What a cause does to the fitted
/// disc goes out with it.
ReadOptions changed(const CompareRequest& request, const CompareOption& option,
                    const CompareCondition& condition) {
    const bool other = is_other_disc(option);
    ReadOptions read = request.read;
    read.changes.clear();
    read.causes.clear();
    for (std::size_t i = 0; i < request.read.changes.size(); ++i) {
        const OfCause cause = cause_of(request.read, i);
        if (other && cause.goes_with_disc) continue;
        read.changes.push_back(request.read.changes[i]);
        read.causes.push_back(cause);
    }
    read.changes.insert(read.changes.end(), option.changes.begin(), option.changes.end());
    for (std::size_t i = 0; i < condition.changes.size(); ++i) {
        if (!other || !is_of_fitted(condition, i)) read.changes.push_back(condition.changes[i]);
    }
    return read;
}

/// Causes in the fitted disc alone, each with the condition that has it.
std::vector<std::pair<std::string, std::string>> causes_in_disc(const CompareRequest& request) {
    std::vector<std::pair<std::string, std::string>> out;
    const auto add = [&](const std::string& cause, const std::string& condition) {
        const std::pair<std::string, std::string> one(cause, condition);
        if (std::ranges::find(out, one) == out.end()) out.push_back(one);
    };
    for (const OfCause& one : request.read.causes) {
        if (one.goes_with_disc) add(one.name, "");
    }
    for (const CompareCondition& condition : request.conditions) {
        for (const ChangeOfFitted& one : condition.of_fitted) add(one.cause, condition.name);
    }
    return out;
}

std::map<std::string, std::string> files_of(const Scenario& scenario) {
    return {scenario.inputs.begin(), scenario.inputs.end()};
}

bool touches_disc(const Scenario& scenario) {
    return std::ranges::any_of(scenario.changes, [](const auto& change) {
        return change.first.starts_with("disc") || change.first.starts_with("vehicle.disc");
    });
}

/// Whether an option is the very disc that all scenarios have as they stand: the same files are
/// read with it and without, and nothing in the disc is changed. With a cause in the fitted disc
/// a new one of its kind is another.
bool is_fitted(const CompareRequest& request, const CompareOption& option,
               const std::vector<Scenario>& as_they_stand) {
    if (option.changes.size() != 1 || option.changes[0].first != "disc") return false;
    if (!causes_in_disc(request).empty()) return false;
    for (std::size_t s = 0; s < as_they_stand.size(); ++s) {
        if (touches_disc(as_they_stand[s])) return false;
        try {
            const Scenario with = read_scenario(request.scenarios[s], changed(request, option, {}));
            if (files_of(with) != files_of(as_they_stand[s])) return false;
        } catch (const InputError&) {
            return false;
        }
    }
    return true;
}

void run_variant(const CompareRequest& request, const CompareRecord& record, RunMeasures& workspace,
                 const Progress& progress, CompareVariant& out) {
    const Scenario scenario = read_scenario(
        request.scenarios[out.scenario],
        changed(request, record.options[out.option], record.conditions[out.condition]));
    check_settings(scenario, request.run);
    out.disc = scenario.vehicle.disc.title;
    MeasuredRun run = measure_one(scenario, request.run, workspace, progress);
    if (!run.solver.complete) {
        if (progress.must_stop()) return;
        out.end = CompareVariant::End::unsolved;
        out.message = fmt::format("it got to t = {:.6g} s. {}", run.solver.end_time,
                                  fmt::join(run.solver.warnings, " "));
        return;
    }
    Verdict verdict = judge(run.facts, run.measured);
    out.end = CompareVariant::End::done;
    out.grade = verdict.grade;
    out.headline = std::move(verdict.headline);
    out.judgements = std::move(verdict.judgements);
    out.measures = std::move(run.measured.measures);
    out.course = std::move(run.measured.course);
}

void run_guarded(const CompareRequest& request, const CompareRecord& record, RunMeasures& workspace,
                 const Progress& progress, CompareVariant& out) {
    const auto failed = [&](CompareVariant::End end, std::string why) {
        out.end = end;
        out.message = std::move(why);
    };
    try {
        run_variant(request, record, workspace, progress, out);
    } catch (const InputError& error) {
        failed(CompareVariant::End::bad_input, error.what());
    } catch (const FileError& error) {
        failed(CompareVariant::End::bad_input, error.what());
    } catch (const SolverError& error) {
        failed(CompareVariant::End::unsolved,
               fmt::format("it got to t = {:.6g} s. {}", error.time(), error.what()));
    } catch (const std::bad_alloc&) {
        failed(CompareVariant::End::unsolved, "there is not enough memory");
    } catch (const std::exception& error) {
        failed(CompareVariant::End::unsolved,
               fmt::format("{} (a fault of the program)", error.what()));
    }
}

std::vector<Scenario> read_as_they_stand(const CompareRequest& request) {
    std::vector<Scenario> out;
    std::set<std::string> names;
    for (const auto& file : request.scenarios) {
        out.push_back(read_scenario(file, request.read));
        if (!names.insert(out.back().name).second) {
            throw InputError(
                fmt::format("two scenarios have the name {}; compare them apart", out.back().name));
        }
    }
    return out;
}

/// The disc of the fitted option is that of the first scenario.
DiscLoop loop_of(const CompareRequest& request, const CompareOption& option) {
    try {
        return quasi_static_loop(read_scenario(request.scenarios.front(),
                                               changed(request, option, request.conditions.front()))
                                     .vehicle.disc);
    } catch (const InputError&) {
        return {};  // its variants say why
    }
}

}  // namespace

CompareRecord compare_discs(const CompareRequest& request, const Progress& progress) {
    const std::vector<Scenario> as_they_stand = read_as_they_stand(request);
    CompareRecord record;
    record.identity = identity_of(as_they_stand.front(), "", request.run.command_line);
    record.options = request.options;
    record.conditions = request.conditions;
    record.of_fitted = causes_in_disc(request);
    bool has_fitted = false;
    for (CompareOption& option : record.options) {
        option.fitted = !has_fitted && is_fitted(request, option, as_they_stand);
        has_fitted = has_fitted || option.fitted;
    }
    if (!has_fitted) {
        record.options.insert(record.options.begin(),
                              {.name = "as fitted", .changes = {}, .fitted = true, .loop = {}});
    }
    for (CompareOption& option : record.options) option.loop = loop_of(request, option);
    std::map<std::string, std::string> inputs;
    for (const Scenario& scenario : as_they_stand) {
        record.scenarios.push_back({scenario.name, scenario.title, scenario.vehicle.title});
        for (const auto& [file, digest] : scenario.inputs) inputs[file] = digest;
    }
    record.identity.inputs.assign(inputs.begin(), inputs.end());
    for (std::size_t o = 0; o < record.options.size(); ++o) {
        for (std::size_t s = 0; s < record.scenarios.size(); ++s) {
            for (std::size_t c = 0; c < record.conditions.size(); ++c) {
                CompareVariant& one = record.variants.emplace_back();
                one.option = o;
                one.scenario = s;
                one.condition = c;
            }
        }
    }
    std::vector<std::unique_ptr<RunMeasures>> workspaces(
        thread_count(request.threads, record.variants.size()));
    for (auto& one : workspaces) one = std::make_unique<RunMeasures>();
    std::mutex guard;
    std::size_t done = 0;
    const Progress inner{.report = {}, .stop_requested = progress.stop_requested};
    in_parallel(
        record.variants.size(), request.threads,
        [&](std::size_t job, std::size_t worker) {
            run_guarded(request, record, *workspaces[worker], inner, record.variants[job]);
            const std::lock_guard lock(guard);
            progress.tell(static_cast<double>(++done) /
                          static_cast<double>(record.variants.size()));
        },
        [&] { return progress.must_stop(); });
    rank_options(record);
    return record;
}

}  // namespace damper
