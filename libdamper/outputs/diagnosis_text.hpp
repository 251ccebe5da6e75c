// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/diagnosis_record.hpp"
#include "libdamper/results/repair_record.hpp"

#include <optional>
#include <string>

namespace damper {

/// A case for a terminal: what is likely and why, what to find out next, what to look at, what
/// another disc would bring; of a repaired vehicle first whether that cured it. UTF-8, ends with a
/// line end.
[[nodiscard]] std::string diagnosis_text(const DiagnosisRecord& record,
                                         const std::optional<RepairRecord>& repair = {});

/// The same in short: outcome, ranking, the two most telling pieces of evidence, what to
/// find out next, notes.
[[nodiscard]] std::string diagnosis_brief(const DiagnosisRecord& record,
                                          const std::optional<RepairRecord>& repair = {});

/// The same as JSON, all causes and tests in it. Numbers are SI with units beside them; what is not
/// finite is null.
[[nodiscard]] std::string diagnosis_json(const DiagnosisRecord& record,
                                         const std::optional<RepairRecord>& repair = {});

/// The same as one page that needs no other file and no network, with a sheet for the workshop that
/// prints on one side.
[[nodiscard]] std::string html_diagnosis(const DiagnosisRecord& record,
                                         const std::optional<RepairRecord>& repair = {});

}  // namespace damper
