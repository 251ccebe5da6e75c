// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/diagnosis/knowledge.hpp"
#include "libdamper/parts/vehicle.hpp"
#include "libdamper/results/diagnosis_record.hpp"
#include "libdamper/scenario/cause.hpp"
#include "libdamper/studies/cause_vehicles.hpp"

#include <cstdint>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace damper {

/// Everything that is known of complaints: read once, used for every case.
struct Knowledge {
    QuestionList questions;
    std::vector<ComplaintKind> kinds;
    std::map<std::string, Cause> causes;

    [[nodiscard]] const ComplaintKind* find(const std::string& symptom) const;
    [[nodiscard]] std::vector<std::string> symptoms() const;
};

/// Reads models/complaints and the causes that it names; titles and seats of modelled causes are
/// filled in. Throws InputError with every finding, or if a named cause is not there.
[[nodiscard]] Knowledge read_knowledge(const std::filesystem::path& models);

/// A figure that a recording or a person has given.
struct SeenFigure {
    std::string measure;
    double value = 0.0;  ///< In the units of the measure.
    std::string from;
};

struct DiagnosisRequest {
    Complaint complaint;
    VehiclesAsked vehicles;        ///< Its vehicle, class and changes are those of the complaint.
    std::vector<SeenFigure> seen;  ///< Given by a person; recordings are read from the complaint.
    bool try_discs = true;         ///< Look for another disc where the leading cause is the disc.
    std::string command_line;
};

/// The causes that this vehicle can have, in the complaint's order; why others cannot is added to
/// `left_out`.
[[nodiscard]] ComplaintKind applicable(const ComplaintKind& kind,
                                       const std::map<std::string, Cause>& causes,
                                       const Vehicle& vehicle, std::vector<std::string>& left_out);

/// From a complaint to ranked causes, evidence and advice: vehicles with each cause are simulated,
/// their figures and the answers compared with the complaint's by Bayes' rule. An estimate by rules
/// of the trade and a model of the vehicle's class. Throws InputError if the complaint does not fit
/// the vehicle or nothing is known of its symptom.
[[nodiscard]] DiagnosisRecord diagnose(const DiagnosisRequest& request, const Knowledge& knowledge,
                                       const Progress& progress = {});

}  // namespace damper
