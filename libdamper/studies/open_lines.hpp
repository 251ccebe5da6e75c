// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/write_complaint.hpp"
#include "libdamper/studies/knowledge_of_complaints.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace damper {

/// Questions of a kind of complaint: asked of the driver first, then tried, measured, gearbox off.
[[nodiscard]] std::vector<const Question*> questions_in_order(const ComplaintKind& kind,
                                                              const QuestionList& questions);

/// A question with the minutes it costs, how it is done and where it can hurt, a line each.
[[nodiscard]] std::vector<std::string> in_words(const Question& question);

/// What could still be answered, measured and recorded of a complaint: its open questions with
/// their choices, the figures that its vehicle can show with what they are, and recordings.
/// The sound vehicle is run once to know its figures. Throws InputError if the complaint's symptom
/// is not known or its vehicle does not fit.
[[nodiscard]] OpenLines open_lines(const Complaint& complaint, const Knowledge& knowledge,
                                   const std::filesystem::path& models,
                                   const std::filesystem::path& scenarios);

}  // namespace damper
