// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/knowledge.hpp"
#include "libdamper/studies/knowledge_of_complaints.hpp"

#include "tools/damper/built_in.hpp"

#include <istream>
#include <string>
#include <vector>

namespace damper::command {

/// Where answers come from.
struct AnswerInput {
    std::istream& in;
    bool echoed = false;  ///< A terminal shows what is typed; else it is printed behind the prompt.
};

/// Asks for what is open in a complaint, line by line: numbers of choices, an empty line for
/// "unknown". The questions come in the order of questions_in_order(); those that need the gearbox
/// off are asked only where a complaint was begun before, and it is off. What is asked after the
/// input has ended stays open. Throws InputError if the input ends, or a few answers in a row are
/// none, before symptom and vehicle are known.
[[nodiscard]] Complaint ask_complaint(const Knowledge& knowledge,
                                      const std::vector<BuiltIn>& vehicles, Complaint begun,
                                      AnswerInput input);

}  // namespace damper::command
