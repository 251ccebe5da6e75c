// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/diagnosis/knowledge.hpp"
#include "libdamper/results/diagnosis_record.hpp"
#include "libdamper/results/repair_record.hpp"
#include "libdamper/studies/cause_vehicles.hpp"
#include "libdamper/studies/diagnosis_figures.hpp"
#include "libdamper/studies/knowledge_of_complaints.hpp"

#include <optional>
#include <string>
#include <vector>

namespace damper {

struct DiagnosisRequest {
    Complaint complaint;
    VehiclesAsked vehicles;        ///< Its vehicle, class and changes are those of the complaint.
    std::vector<SeenFigure> seen;  ///< Given by a person; recordings are read from the complaint.
    std::vector<SeenFigure> seen_since_repair;  ///< The same of the vehicle after its repair.
    bool try_discs = true;  ///< Look for another disc where the leading cause is the disc.
    std::string command_line;
};

/// What a diagnosis found, and, where the vehicle was repaired since, whether that cured it.
struct DiagnosisOutcome {
    DiagnosisRecord found;
    std::optional<RepairRecord> repair;
};

/// From a complaint to ranked causes, evidence and advice: vehicles with each cause are simulated,
/// their figures and the answers compared with the complaint's by Bayes' rule. An estimate by rules
/// of the trade and a model of the vehicle's class. Throws InputError if the complaint does not fit
/// the vehicle or nothing is known of its symptom.
[[nodiscard]] DiagnosisOutcome diagnose(const DiagnosisRequest& request, const Knowledge& knowledge,
                                        const Progress& progress = {});

}  // namespace damper
