// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/ranking.hpp"
#include "libdamper/results/diagnosis_record.hpp"
#include "libdamper/studies/cause_vehicles.hpp"

#include <string>
#include <utility>
#include <vector>

namespace damper {

/// Question and choice, by name.
using Answers = std::vector<std::pair<std::string, std::string>>;

/// A choice of a question; null if it has none of that name.
[[nodiscard]] const Choice* choice_of(const Question& question, const std::string& name);

/// Puts ranked causes into the record: how likely, what speaks for and against each, and where the
/// vehicles lie that were simulated with it.
void take_causes(const std::vector<RankedCause>& ranking, const ComplaintKind& kind,
                 const Answers& answers, const QuestionList& questions,
                 const CauseVehicles& vehicles, DiagnosisRecord& record);

}  // namespace damper
