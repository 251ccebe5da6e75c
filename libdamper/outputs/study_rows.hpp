// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/outputs/figure_table.hpp"
#include "libdamper/results/study_record.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace damper {

// Tables and sentences of a study, for terminal and page alike. Tables without rows are left out
// by their writers.

/// "1000 variants of the scenario, 3 of them refused, …": what there is and what is missing.
[[nodiscard]] std::string study_words(const StudyRecord& record);
/// What the shares beyond the limits say in one sentence.
[[nodiscard]] std::string study_headline(const StudyRecord& record);
/// The key that matters most for each limit that some variant misses.
[[nodiscard]] std::vector<std::string> study_reasons(const StudyRecord& record);
/// What to mind.
[[nodiscard]] std::vector<std::string> study_cautions(const StudyRecord& record);

[[nodiscard]] FigureTable study_limit_table(const StudyRecord& record);
[[nodiscard]] FigureTable study_statistic_table(const StudyRecord& record);
/// Keys by what they explain; `most`: so many a measure.
[[nodiscard]] FigureTable study_influence_table(const StudyRecord& record, std::size_t most);
[[nodiscard]] FigureTable study_effect_table(const StudyRecord& record);
[[nodiscard]] FigureTable study_index_table(const StudyRecord& record);
[[nodiscard]] FigureTable study_failure_table(const StudyRecord& record, std::size_t most);
/// Every variant with the measures that have statistics; empty if there are more than `most`.
[[nodiscard]] FigureTable study_variant_table(const StudyRecord& record, std::size_t most);

/// The column of a measure in the record's table, or −1.
[[nodiscard]] std::ptrdiff_t study_column(const StudyRecord& record, const std::string& measure);
/// A key's value as a workshop reads it: "0.45 N m/°", "× 1.1", a choice.
[[nodiscard]] std::string study_value(const StudyKey& key, double value);

}  // namespace damper
