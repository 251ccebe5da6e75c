// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/write_complaint.hpp"
#include "libdamper/studies/knowledge_of_complaints.hpp"

#include <filesystem>

namespace damper {

/// What could still be answered, measured and recorded of a complaint: its open questions with
/// their choices, the figures that its vehicle can show with what they are, and recordings.
/// The sound vehicle is run once to know its figures. Throws InputError if the complaint's symptom
/// is not known or its vehicle does not fit.
[[nodiscard]] OpenLines open_lines(const Complaint& complaint, const Knowledge& knowledge,
                                   const std::filesystem::path& models,
                                   const std::filesystem::path& scenarios);

}  // namespace damper
