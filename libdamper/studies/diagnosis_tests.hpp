// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/figure_groups.hpp"
#include "libdamper/diagnosis/ranking.hpp"
#include "libdamper/results/diagnosis_record.hpp"
#include "libdamper/studies/cause_vehicles.hpp"

#include <vector>

namespace damper {

/// Puts what is open into the record – questions, and groups of figures – by what it is expected
/// to tell for the time it takes. `probabilities` in the order of the complaint's causes.
void take_tests(const ComplaintKind& kind, const std::vector<double>& probabilities,
                const Complaint& complaint, const QuestionList& questions,
                const CauseVehicles& vehicles, const std::vector<FigureGroup>& groups,
                const SeenFigures& seen, DiagnosisRecord& record);

}  // namespace damper
