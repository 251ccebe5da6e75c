// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/study_record.hpp"
#include "libdamper/studies/variant_study.hpp"

#include "tools/damper/command_line.hpp"
#include "tools/damper/study_options.hpp"

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace damper::command {

/// What `damper vary` and `damper scatter` have in common.
struct StudyOptions {
    Words scenarios;  ///< One, or a study file.
    std::string out;
    std::vector<std::string> measures;
    std::string count, seed = "1", threads = "0", shard = "1/1";
    std::string format = "text";
    bool resume = false;
    bool fresh = false;
    bool quiet = false;
    DescriptionOptions description;

    /// `count_help` says what --count counts.
    void tie_to(CLI::App& app, const std::string& count_help);
    /// What a study file says and the command line does not.
    void take(const StudyOverlay& overlay, const CLI::App& app);
    /// The count asked for, or `otherwise`. Throws InputError.
    [[nodiscard]] std::int64_t count_or(std::int64_t otherwise) const;
    [[nodiscard]] std::uint64_t seed_number() const;
};

/// The scenario file that the options name. Throws InputError.
[[nodiscard]] std::filesystem::path scenario_file(const StudyOptions& options,
                                                  const ReadOptions& read, const std::string& verb);

/// Runs a study, in parts, going on where an earlier run left it, and leaves its results. Returns
/// the exit status.
[[nodiscard]] int run_study(const VariantStudy& study, const StudyOptions& options);

/// Throws InputError with the nearest name if one is not known.
void require_measures(const StudyHead& head, const std::vector<std::string>& names);

/// The text of a record in a format: text, json or csv.
[[nodiscard]] std::string study_in(const std::string& format, const StudyRecord& record);

}  // namespace damper::command
