// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/outputs/figure_table.hpp"
#include "libdamper/results/tune_record.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace damper {

// Sentences and tables of a search for a disc, for terminal and page alike.

/// What was found: one sentence.
[[nodiscard]] std::string tune_headline(const TuneRecord& record);
/// What else to know of it: limits out of reach, what the fitted disc does, a search stopped.
[[nodiscard]] std::vector<std::string> tune_notes(const TuneRecord& record);
/// How it was searched: what was tried and what became of it.
[[nodiscard]] std::string tune_search_words(const TuneRecord& record);

/// Free keys: range, fitted, tuned.
[[nodiscard]] FigureTable tune_key_table(const TuneRecord& record);
[[nodiscard]] FigureTable tune_limit_table(const TuneRecord& record);
/// Scenario by scenario and condition by condition the worst figure, fitted and tuned.
[[nodiscard]] FigureTable tune_case_table(const TuneRecord& record);
/// The front, at most `most` of it evenly picked, the tuned disc always among them.
[[nodiscard]] FigureTable tune_front_table(const TuneRecord& record, std::size_t most);

/// "van_idle_hot" or "van_idle_hot (worn)".
[[nodiscard]] std::string tune_case_name(const TuneRecord& record, std::size_t of_case);

/// The worst figure of an objective, or of everything (null); null if there is none.
struct TuneWorst {
    std::size_t of_case = 0;
    const TuneFigure* figure = nullptr;
};
[[nodiscard]] TuneWorst tune_worst(const TuneCandidate& candidate,
                                   const TuneObjective* objective = nullptr);

}  // namespace damper
