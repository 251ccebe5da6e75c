// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/knowledge.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace damper {

/// Reads the list of questions. Throws InputError with every finding.
[[nodiscard]] QuestionList read_questions(const std::filesystem::path& file);

/// Reads what is known of one complaint. `questions` must have every question and choice that it
/// names. Titles and seats of modelled causes are left as written (empty). Throws InputError with
/// every finding.
[[nodiscard]] ComplaintKind read_complaint_kind(const std::filesystem::path& file,
                                                const QuestionList& questions);

/// What a complaint file may name.
struct ComplaintWords {
    const QuestionList& questions;
    std::vector<std::string> symptoms;
    /// Measures with their units.
    std::vector<std::pair<std::string, std::string>> measures;
};

/// Reads a complaint. Answers "unknown" are left out. Recordings are paths from the folder of the
/// complaint. Throws InputError with every finding.
[[nodiscard]] Complaint read_complaint(const std::filesystem::path& file,
                                       const ComplaintWords& known);

/// Whether a kind of recording is the speed of a shaft over time, or an acceleration over time:
/// these may share a table.
[[nodiscard]] bool is_speed_recording(const std::string& kind);
[[nodiscard]] bool is_acceleration_recording(const std::string& kind);

/// Kinds of recordings that a complaint may name, and what each holds.
[[nodiscard]] const std::vector<std::pair<std::string, std::string>>& recording_kinds();

}  // namespace damper
