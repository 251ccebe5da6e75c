// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/diagnosis/knowledge.hpp"
#include "libdamper/results/diagnosis_record.hpp"
#include "libdamper/scenario/cause.hpp"
#include "libdamper/studies/cause_vehicles.hpp"

namespace damper {

/// What is to be tried with each disc of the class.
struct DiscsAsked {
    const ComplaintKind* complaint = nullptr;
    /// Complaints whose runs show what another disc costs elsewhere.
    std::vector<const ComplaintKind*> others;
    /// The likeliest cause, where another disc might be thought to help against it; null: none.
    const Cause* cause = nullptr;
    VehiclesAsked vehicles;  ///< Model, vehicle and threads; counts and seeds are not used.
};

/// Tries the discs of the vehicle's class in the run of the complaint and in the others, in a sound
/// vehicle and, in the run of the complaint, with the cause. Fills the record's part on discs.
///
/// Grades of the run of the complaint come first, then those of the others, then margins. Limits
/// of a run that no disc meets are set aside and told, since no disc decides them; one that is
/// worse there than the fitted disc by more than a tenth still misses the limit. Where a complaint
/// has no run in time, only the fitted disc is told of.
///
/// Throws InputError if the vehicle cannot do the run of the complaint.
void suit_discs(const DiscsAsked& asked, const Progress& progress, DiagnosisRecord& record);

}  // namespace damper
