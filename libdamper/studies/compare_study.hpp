// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/results/compare_record.hpp"
#include "libdamper/studies/run_settings.hpp"

#include <cstddef>
#include <filesystem>
#include <vector>

namespace damper {

/// What is to be compared.
struct CompareRequest {
    std::vector<std::filesystem::path> scenarios;
    std::vector<CompareOption> options;        ///< Without loops.
    std::vector<CompareCondition> conditions;  ///< At least one; may be without changes.
    ReadOptions read;                          ///< Its changes hold for all and come first.
    RunSettings run;
    std::size_t threads = 0;  ///< 0: as many as the processor runs at once.
};

/// Runs every option in every scenario under every condition, on several threads, without storing
/// signals, and ranks the options. The fitted disc comes first unless one of the options is it.
/// What a cause changes in the disc is in the fitted one alone, also where an option changes its
/// values; an option that puts a disc in puts a sound one in, even one of the same kind. A variant
/// that cannot be read or solved says so and does not touch the others. Results do not depend on
/// the number of threads. A stop request leaves out what is not done.
///
/// Throws InputError if a scenario cannot be read as it stands, or two have one name.
[[nodiscard]] CompareRecord compare_discs(const CompareRequest& request,
                                          const Progress& progress = {});

/// Ranks the options of a record: a limit missed is worse than any margin in hand, then the worst
/// margin counts, then the next worst. An option with variants that have no result comes last.
void rank_options(CompareRecord& record);

}  // namespace damper
