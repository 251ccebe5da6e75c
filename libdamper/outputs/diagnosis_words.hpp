// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/diagnosis_record.hpp"

#include <string>
#include <vector>

namespace damper {

/// From where on a cause is called the likely one, from where on likelier than all others, and
/// below what it is hardly that: probabilities; a convention of this tool.
inline constexpr double clear_from = 0.8, likely_from = 0.5, hardly_below = 0.1;

/// The outcome in a sentence or two.
[[nodiscard]] std::string diagnosis_headline(const DiagnosisRecord& record);

/// "strongly for", "for", "hardly", "against", "strongly against": in steps of 10^0.3 and 10^0.8.
[[nodiscard]] std::string evidence_word(double weight);

/// Evidence that counts, for or against a cause of the record, in words: the question with its
/// answer, or the figures that say so with their numbers, and how much it says.
[[nodiscard]] std::vector<std::string> evidence_for(const DiagnosisRecord& record,
                                                    const DiagnosisCause& cause);
[[nodiscard]] std::vector<std::string> evidence_against(const DiagnosisRecord& record,
                                                        const DiagnosisCause& cause);

/// The figures that a test would measure, a line each: key, unit, what it is.
[[nodiscard]] std::vector<std::string> figure_lines(const DiagnosisRecord& record,
                                                    const DiagnosisTest& test);

/// What a test costs and tells: "2 min, 0.61 bit".
[[nodiscard]] std::string test_words(const DiagnosisTest& test);

/// What would follow from each answer.
[[nodiscard]] std::vector<std::string> outcome_words(const DiagnosisTest& test);

/// Whether the fitted disc suits and what another one would do, a sentence each; empty where no
/// disc was tried.
[[nodiscard]] std::vector<std::string> disc_words(const DiagnosisRecord& record);

/// Of these what to do about the disc.
[[nodiscard]] std::vector<std::string> disc_advice(const DiagnosisRecord& record);

/// Whether discs are worth comparing: one of them may be the cause, or the way to live with it.
[[nodiscard]] bool disc_matters(const DiagnosisRecord& record);

/// A probability without digits that an estimate does not have: "over 99 %", "66 %", "3.1 %",
/// "under 0.1 %".
[[nodiscard]] std::string probability_text(double probability);

/// What to mind when acting on it.
[[nodiscard]] const std::vector<std::string>& diagnosis_cautions();

/// That all of it is an estimate, and by what.
[[nodiscard]] std::string diagnosis_estimate(const DiagnosisRecord& record);

/// Causes worth showing: those above one percent, at least three.
[[nodiscard]] std::size_t causes_shown(const DiagnosisRecord& record);

}  // namespace damper
