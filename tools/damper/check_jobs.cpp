// SPDX-License-Identifier: MIT
#include "tools/damper/check_jobs.hpp"

#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/file_lock.hpp"
#include "libdamper/outputs/baseline_json.hpp"

#include "tools/damper/any_description.hpp"
#include "tools/damper/built_in.hpp"
#include "tools/damper/locate.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <map>
#include <set>
#include <system_error>
#include <utility>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

bool is_folder(const fs::path& path) {
    std::error_code ignored;
    return fs::is_directory(path, ignored);
}

/// Scenarios of a folder, sorted. What is clearly another description is counted, not taken.
void take_folder(const fs::path& folder, std::vector<fs::path>& files, CheckWork& work) {
    std::vector<std::string> others;
    const std::size_t before = files.size();
    for (const std::string& name : names_in(folder)) {
        const fs::path file = folder / (name + ".toml");
        const PartSchema* kind = kind_of(file);
        if (kind != nullptr && kind != &scenario_schema()) {
            others.push_back(name + ".toml");
        } else {
            files.push_back(file);
        }
    }
    if (files.size() == before) {
        throw InputError(fmt::format("{}: there are no scenarios in this folder", folder.string()));
    }
    if (!others.empty()) {
        work.notes.push_back(fmt::format("Left out of {}, no scenarios: {}.", folder.string(),
                                         fmt::join(others, ", ")));
    }
}

/// Names of files that are the same wherever the tree lies.
void make_portable(Scenario& scenario, const fs::path& file, const fs::path& models) {
    std::error_code ignored;
    const fs::path shelf = fs::weakly_canonical(models, ignored).parent_path();
    const fs::path home = fs::weakly_canonical(file, ignored).parent_path();
    for (auto& [name, digest] : scenario.inputs) {
        const fs::path whole = fs::weakly_canonical(name, ignored);
        for (const fs::path& root : {shelf, home}) {
            const fs::path part = whole.lexically_relative(root);
            if (root.empty() || part.empty() || *part.begin() == "..") continue;
            name = part.generic_string();
            break;
        }
        if (fs::path(name).is_absolute()) name = whole.filename().string();
    }
}

CheckJob read_job(const fs::path& file, const ReadOptions& options, const RunSettings& settings) {
    CheckJob job;
    job.before.name = file.stem().string();
    job.before.file = file.string();
    try {
        Scenario scenario = read_scenario(file, options);
        job.before.title = scenario.title;
        job.before.vehicle = scenario.vehicle.title;
        check_settings(scenario, settings);
        make_portable(scenario, file, options.models);
        job.scenario = std::move(scenario);
    } catch (const InputError& error) {
        job.before.end = CheckEnd::bad_input;
        job.before.message = error.what();
    } catch (const FileError& error) {
        job.before.end = CheckEnd::bad_input;
        job.before.message = error.what();
    }
    return job;
}

}  // namespace

CheckWork read_check_work(const Words& words, const ReadOptions& options,
                          const RunSettings& settings) {
    CheckWork work;
    std::vector<fs::path> files;
    if (words.empty()) {
        if (options.models.empty()) throw InputError(no_models());
        take_folder(folder_of("scenarios", options.models), files, work);
    }
    std::map<fs::path, InputError> lost;
    for (const std::string& word : words) {
        if (is_folder(word)) {
            take_folder(word, files, work);
            continue;
        }
        fs::path file = word;
        try {
            file = find_description(
                       word, options.models,
                       {"damper check", "a scenario", {"scenarios"}, {&scenario_schema()}})
                       .file;
        } catch (const InputError& error) {
            lost.emplace(word, error);
        }
        files.push_back(file);
    }
    std::set<std::string> names;
    for (const fs::path& file : files) {
        const auto missing = lost.find(file);
        CheckJob job;
        if (missing != lost.end()) {
            job.before.name = file.stem().string();
            job.before.file = file.string();
            job.before.end = CheckEnd::bad_input;
            job.before.message = missing->second.what();
        } else {
            job = read_job(file, options, settings);
        }
        if (!names.insert(job.before.name).second) {
            job.scenario.reset();
            job.before.end = CheckEnd::bad_input;
            job.before.message = fmt::format(
                "another scenario of this check has the name {} as well; check them apart",
                job.before.name);
        }
        work.jobs.push_back(std::move(job));
    }
    return work;
}

void read_baselines(const fs::path& folder, bool all, CheckWork& work) {
    std::set<std::string> known;
    for (CheckJob& job : work.jobs) {
        known.insert(job.before.name);
        const fs::path file = folder / (job.before.name + ".json");
        std::error_code ignored;
        if (!fs::exists(file, ignored)) continue;
        try {
            const auto bytes = read_file(file, largest_baseline);
            job.baseline = read_baseline(
                {reinterpret_cast<const char*>(bytes.data()), bytes.size()}, file.string());
        } catch (const InputError& error) {
            if (!job.scenario) continue;
            job.scenario.reset();
            job.before.end = CheckEnd::bad_input;
            job.before.message = error.what();
        }
    }
    if (!all) return;
    std::vector<std::string> left;
    std::error_code error;
    for (fs::directory_iterator entry(folder, error), end; !error && entry != end;
         entry.increment(error)) {
        const fs::path& file = entry->path();
        if (file.extension() == ".json" && !known.contains(file.stem().string())) {
            left.push_back(file.filename().string());
        }
    }
    std::ranges::sort(left);
    if (!left.empty()) {
        work.notes.push_back(fmt::format("Baselines of no scenario: {}.", fmt::join(left, ", ")));
    }
}

std::vector<std::string> write_baselines(const fs::path& folder, const std::vector<CheckJob>& jobs,
                                         const std::vector<CheckedScenario>& done) {
    const OutputLock lock(folder);
    std::vector<std::string> said;
    std::size_t same = 0;
    for (std::size_t i = 0; i < done.size(); ++i) {
        const CheckedScenario& one = done[i];
        if (one.end != CheckEnd::kept && one.end != CheckEnd::missed) continue;
        const std::string text = baseline_json(one.now);
        if (jobs[i].baseline && baseline_json(*jobs[i].baseline) == text) {
            ++same;
            continue;
        }
        write_file_atomically(folder / (one.name + ".json"), text);
        if (!jobs[i].baseline) {
            said.push_back(fmt::format("{}: new", one.name));
            continue;
        }
        said.push_back(fmt::format("{}: {}", one.name,
                                   fmt::join(baseline_changes(*jobs[i].baseline, one.now), "; ")));
    }
    said.push_back(fmt::format("Baselines in {}: {} written, {} as they were.", folder.string(),
                               said.size(), same));
    return said;
}

}  // namespace damper::command
