// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/study_record.hpp"

#include <string>

namespace damper {

/// A study for a terminal, in a workshop's units.
[[nodiscard]] std::string study_text(const StudyRecord& record);

/// The same as data: SI with units beside the numbers. Time and place of the run are left out, so
/// that the same study gives the same bytes.
[[nodiscard]] std::string study_json(const StudyRecord& record);

/// One row a variant: its number, how it ended, keys and measures; SI, units in the header; 17
/// digits, so that the numbers are read back as they are.
[[nodiscard]] std::string study_csv(const StudyRecord& record);

/// The page of a study: shares, maps, which key matters. One file, without scripts.
[[nodiscard]] std::string html_study(const StudyRecord& record);

}  // namespace damper
