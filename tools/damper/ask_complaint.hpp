// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/knowledge.hpp"
#include "libdamper/studies/knowledge_of_complaints.hpp"

#include "tools/damper/built_in.hpp"

#include <istream>
#include <string>
#include <vector>

namespace damper::command {

/// Asks for a complaint, line by line: numbers of choices, an empty line for "unknown". The
/// questions of the symptom come in the order in which one would ask; those that need the gearbox
/// off are left out; so is what is asked after the input has ended. Throws InputError if the input
/// ends before symptom and vehicle are known.
[[nodiscard]] Complaint ask_complaint(const Knowledge& knowledge,
                                      const std::vector<BuiltIn>& vehicles, std::istream& in);

}  // namespace damper::command
