// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/ranking.hpp"
#include "libdamper/results/repair_record.hpp"
#include "libdamper/studies/cause_vehicles.hpp"
#include "libdamper/studies/recorded_figures.hpp"

#include <vector>

namespace damper {

/// A vehicle as it was given back after its repair, with what is known of it since.
struct RepairedState {
    Complaint complaint;  ///< See since_repair().
    Repair repair;
    VehiclesAsked asked;
    RecordedFigures given;
};

/// The complaint as if it were made of the repaired vehicle: its answers, figures and recordings
/// are those since; what was found before is left out.
[[nodiscard]] Complaint since_repair(const Complaint& complaint);

/// Whether the repair cured the complaint: Bayes' rule over the causes as they stood before it
/// (`before`) – each of them cured or still there, a part that was renewed less likely still there
/// – and a fault that is new, by the driver's word, by answers, and by figures, which in a cured
/// vehicle are those of sound ones. `vehicles` are in the state after the repair. Closed
/// needs a measurement, where there is one, that does not speak against it; a word is not enough.
[[nodiscard]] RepairRecord judge_repair(const RepairedState& repaired, const ComplaintKind& kind,
                                        const QuestionList& questions,
                                        const std::vector<RankedCause>& before,
                                        CauseVehicles vehicles, const DiagnosisRecord& found);

}  // namespace damper
