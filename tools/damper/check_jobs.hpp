// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/read.hpp"
#include "libdamper/studies/check_study.hpp"

#include "tools/damper/command_line.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace damper::command {

/// What is to be checked, read as far as it can be.
struct CheckWork {
    std::vector<CheckJob> jobs;
    std::vector<std::string> notes;
};

/// The scenarios of folders, files and built-in names; without any word all that are built in.
/// What cannot be read becomes a job without a scenario that says why. Other descriptions in a
/// folder are left out with a note. Throws InputError if there is nothing to check, FileError.
[[nodiscard]] CheckWork read_check_work(const Words& words, const ReadOptions& options,
                                        const RunSettings& settings);

/// Fills in the baselines that lie in a folder, NAME.json each; one that cannot be read makes its
/// scenario one that cannot be checked. A note tells of those that belong to no scenario, if
/// `all` scenarios are meant.
void read_baselines(const std::filesystem::path& folder, bool all, CheckWork& work);

/// Writes the baselines of the scenarios that were solved, where they differ from what is there,
/// under a lock on the folder. Says what changed, a line each. Throws FileError, BusyError.
[[nodiscard]] std::vector<std::string> write_baselines(const std::filesystem::path& folder,
                                                       const std::vector<CheckJob>& jobs,
                                                       const std::vector<CheckedScenario>& done);

}  // namespace damper::command
