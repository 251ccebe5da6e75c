// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/diagnosis_record.hpp"

#include <string>
#include <vector>

namespace damper {

/// Whether a cause leads so clearly that the repair can be planned: probable enough, and nothing
/// about the data speaks against the ranking itself.
[[nodiscard]] bool is_settled(const DiagnosisRecord& record);

/// What stands above before_assembly(), by whether the gearbox is off already.
[[nodiscard]] std::string before_assembly_heading(const DiagnosisRecord& record);

/// What is cheap to look at with the gearbox off and dear afterwards, by the seat of the cause that
/// leads; without what was looked at already. Empty while nothing leads clearly, and where the
/// gearbox need not come off.
[[nodiscard]] std::vector<std::string> before_assembly(const DiagnosisRecord& record);

/// What is mended and ordered for the cause that leads, and what need not be ordered.
[[nodiscard]] std::vector<std::string> parts_words(const DiagnosisRecord& record);

/// What was tried, measured and found on the vehicle, a line each: "Leak – Dry".
[[nodiscard]] std::vector<std::string> findings(const DiagnosisRecord& record);

}  // namespace damper
