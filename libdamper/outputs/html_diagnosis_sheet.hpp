// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/repair_record.hpp"

#include <optional>
#include <string>

namespace damper {

/// The sheet for the workshop, a section of the page that prints on one side: what was found, what
/// to check, parts, figures before and after the repair.
[[nodiscard]] std::string diagnosis_sheet(const DiagnosisRecord& record,
                                          const std::optional<RepairRecord>& repair = {});

}  // namespace damper
