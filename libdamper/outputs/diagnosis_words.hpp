// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/diagnosis_record.hpp"

#include <string>
#include <vector>

namespace damper {

/// From where on a cause is called the likely one, from where on likelier than all others, and
/// below what it is hardly that: probabilities; a convention of this tool.
inline constexpr double clear_from = 0.8, likely_from = 0.5, hardly_below = 0.1;

/// From where on the repair is thought of, and below what a cause is not looked at.
inline constexpr double sure_from = 0.95, worth_showing = 0.01;

/// From where on evidence speaks plainly, and strongly, for or against [powers of ten].
inline constexpr double plain_evidence = 0.3, strong_evidence = 0.8;

/// A title as it stands inside a sentence.
[[nodiscard]] std::string in_sentence(std::string title);

/// A figure with its unit; three digits are enough beside what simulated vehicles scatter.
[[nodiscard]] std::string figure_text(double value, const std::string& units);

/// The outcome in a sentence or two.
[[nodiscard]] std::string diagnosis_headline(const DiagnosisRecord& record);

/// "strongly for", "for", "hardly", "against", "strongly against": in steps of 10^0.3 and 10^0.8.
[[nodiscard]] std::string evidence_word(double weight);

/// Whether sound vehicles lie close enough together for a figure to be held against theirs. What is
/// told of a swing that they hardly have, as its share, may be anything with them.
[[nodiscard]] bool sound_tells(const DiagnosisRecord& record, std::size_t figure);

/// Evidence that counts, for or against a cause of the record, in words: the question with its
/// answer, or the figures that say so with their numbers, and how much it says.
[[nodiscard]] std::vector<std::string> evidence_for(const DiagnosisRecord& record,
                                                    const DiagnosisCause& cause);
[[nodiscard]] std::vector<std::string> evidence_against(const DiagnosisRecord& record,
                                                        const DiagnosisCause& cause);

/// The most telling lines of evidence, whichever way.
[[nodiscard]] std::vector<std::string> telling_evidence(const DiagnosisRecord& record,
                                                        const DiagnosisCause& cause,
                                                        std::size_t most);

/// What was measured or found on parts and speaks for a cause: it tells which part, where a cause
/// may sit in several.
[[nodiscard]] std::vector<std::string> found_for(const DiagnosisRecord& record,
                                                 const DiagnosisCause& cause);

/// A cause that was notable before any evidence (3 %) and is hardly worth a look now, with what
/// speaks most against it.
struct RuledOut {
    const DiagnosisCause* cause = nullptr;
    std::vector<std::string> by;
};
[[nodiscard]] std::vector<RuledOut> ruled_out(const DiagnosisRecord& record);

/// The figures that a test would measure, a line each: key, unit, what it is.
[[nodiscard]] std::vector<std::string> figure_lines(const DiagnosisRecord& record,
                                                    const DiagnosisTest& test);

/// How much of what is not known of the cause (its entropy) a test is expected to settle: a share.
[[nodiscard]] double share_settled(const DiagnosisRecord& record, const DiagnosisTest& test);

/// Such a share in words, in steps of 15, 40, 60 and 80 %: a convention of this tool.
[[nodiscard]] std::string settles_words(double share);

/// What a test costs and tells: "tried, about 10 min, would settle about half of what is open".
[[nodiscard]] std::string test_words(const DiagnosisRecord& record, const DiagnosisTest& test);

/// The first tests of the record that need the gearbox off, or that do not.
[[nodiscard]] std::vector<const DiagnosisTest*> next_tests(const DiagnosisRecord& record,
                                                           bool gearbox_off, std::size_t most);

/// What would follow from each answer to it.
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

/// Causes worth a word: the first, and of the next up to `most` those above one percent.
[[nodiscard]] std::size_t causes_told(const DiagnosisRecord& record, std::size_t most);

}  // namespace damper
