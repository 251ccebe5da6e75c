// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/knowledge.hpp"
#include "libdamper/parts/vehicle.hpp"
#include "libdamper/scenario/cause.hpp"

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
    /// Throws InputError with the nearest symptom if nothing is known of it.
    [[nodiscard]] const ComplaintKind& of(const std::string& symptom) const;
    [[nodiscard]] std::vector<std::string> symptoms() const;
};

/// Reads models/complaints and the causes that it names; titles and seats of modelled causes are
/// filled in. Throws InputError with every finding, or if a named cause is not there.
[[nodiscard]] Knowledge read_knowledge(const std::filesystem::path& models);

/// The causes that this vehicle can have, in the complaint's order; why others cannot is added to
/// `left_out`.
[[nodiscard]] ComplaintKind applicable(const ComplaintKind& kind,
                                       const std::map<std::string, Cause>& causes,
                                       const Vehicle& vehicle, std::vector<std::string>& left_out);

}  // namespace damper
