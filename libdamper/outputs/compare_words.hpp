// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/compare_record.hpp"

#include <string>
#include <vector>

namespace damper {

/// "transfer in car_idle_cold (hot), 1.3 against 0.4 (bad above 0.8)".
[[nodiscard]] std::string finding_words(const CompareRecord& record, const CompareFinding& finding);

/// Where an option stands and why: "meets every limit; worst is transfer in …".
[[nodiscard]] std::string standing_words(const CompareRecord& record, const CompareRank& rank);

/// What it costs and brings against the fitted disc, a sentence each; empty if nothing.
[[nodiscard]] std::vector<std::string> trade_words(const CompareRecord& record,
                                                   const CompareRank& rank);

/// The choice in sentences: which option, why, what it costs, how far the next one is; or that
/// none meets all limits.
[[nodiscard]] std::vector<std::string> choice_words(const CompareRecord& record);

/// What could not be read or solved, a line each, alike ones once.
[[nodiscard]] std::vector<std::string> failure_words(const CompareRecord& record);

/// A row of the table: a measure with a limit in a scenario, and for each option the worst over
/// the conditions.
struct CompareRow {
    std::size_t scenario = 0;
    std::string measure;
    Judgement limit;                      ///< Any of them, for limit and units.
    std::vector<const Judgement*> worst;  ///< By option; null: none.
    std::vector<std::size_t> condition;   ///< Of it.
};
[[nodiscard]] std::vector<CompareRow> compare_rows(const CompareRecord& record);

/// Value as text in the units of the row.
[[nodiscard]] std::string row_value(const CompareRow& row, std::size_t option);
[[nodiscard]] std::string row_units(const CompareRow& row);
/// "≤ 0.4 (0.8)": good, bad behind it in brackets.
[[nodiscard]] std::string row_limit(const CompareRow& row);

/// The worst judgement of an option in a scenario over the conditions; null: none.
[[nodiscard]] const Judgement* worst_in(const CompareRecord& record, std::size_t option,
                                        std::size_t scenario, std::size_t* condition = nullptr);

}  // namespace damper
