// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/compare_record.hpp"

#include <string>

namespace damper {

/// A comparison for a terminal: the choice in words, the ranking, what each costs and brings, and
/// one table of measures with limits, the worst over the conditions.
[[nodiscard]] std::string compare_text(const CompareRecord& record);
/// Every run with every measure, SI.
[[nodiscard]] std::string compare_json(const CompareRecord& record);
/// The same as rows: option, scenario, condition, measure, units, value, good, bad, grade, margin.
[[nodiscard]] std::string compare_csv(const CompareRecord& record);
/// The page: choice, matrix of margins, measures, bench loops over each other, courses over speed.
[[nodiscard]] std::string html_compare(const CompareRecord& record);

}  // namespace damper
