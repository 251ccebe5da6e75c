// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/knowledge.hpp"
#include "libdamper/studies/diagnose.hpp"

#include <istream>
#include <string>
#include <vector>

namespace damper::command {

/// Asks for a complaint, line by line: numbers of choices, an empty line for "unknown". The
/// questions of the symptom come in the order in which one would ask; those that need the gearbox
/// off are left out. Throws InputError if the input ends before the symptom is known.
[[nodiscard]] Complaint ask_complaint(const Knowledge& knowledge,
                                      const std::vector<std::string>& vehicles, std::istream& in);

}  // namespace damper::command
