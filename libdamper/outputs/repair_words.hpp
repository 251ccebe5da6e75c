// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/repair_record.hpp"

#include <string>
#include <vector>

namespace damper {

/// "Closed", "Open" or "Not closed".
[[nodiscard]] std::string repair_verdict_word(RepairVerdict verdict);

/// What became of the case and why, in a few sentences; `found` before the repair.
[[nodiscard]] std::string repair_headline(const RepairRecord& repair, const DiagnosisRecord& found);

/// What the driver says, or that he was not asked.
[[nodiscard]] std::string driver_words(const RepairRecord& repair);

/// On what the chance of a cure rests.
[[nodiscard]] std::string repair_estimate();

/// One figure before and after the repair, and what sound vehicles show, in one unit.
struct RepairRow {
    std::string figure, units;
    std::string before, after;       ///< Numbers; "–" where it was not measured.
    std::string sound, sound_range;  ///< Their middle; where 95 % of them lie.
    std::string since;               ///< "yes", "better", "about" or "no", or empty.
};

/// Every figure that was measured before or after the repair.
[[nodiscard]] std::vector<RepairRow> repair_rows(const RepairRecord& repair);

/// What the words of RepairRow::since mean.
[[nodiscard]] std::string repair_legend();

/// What is to be minded about the verdict, and what was not said.
[[nodiscard]] std::vector<std::string> repair_remarks(const RepairRecord& repair,
                                                      const DiagnosisRecord& found);

/// What may still be there, likeliest first; empty where the case is closed.
[[nodiscard]] std::vector<std::string> still_possible(const RepairRecord& repair);

/// For a terminal; UTF-8, ends with a line end.
[[nodiscard]] std::string repair_text(const RepairRecord& repair, const DiagnosisRecord& found);

/// A section of the page of a diagnosis.
[[nodiscard]] std::string html_repair(const RepairRecord& repair, const DiagnosisRecord& found);

}  // namespace damper
