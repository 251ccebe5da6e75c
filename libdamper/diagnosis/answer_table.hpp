// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/knowledge.hpp"

#include <string>
#include <vector>

namespace damper {

/// Share of answers that are wrong, at random: drivers and tests err, one in ten (common practice,
/// no source), and the tables are not the whole truth of the trade. With both, what is said held as
/// often on complaints of benchmarks/diagnosis with seeds below 1000.
inline constexpr double wrong_answers = 0.15;

/// P(choice | cause) of one question, in the order of its choices; sums to 1, none is 0.
///
/// The weights of the cause, or the usual ones where it says nothing, brought to sum 1, and mixed
/// with evenly spread wrong answers. A choice that the cause's weights leave out keeps that much.
[[nodiscard]] std::vector<double> answer_chances(const Question& question,
                                                 const CandidateCause& cause);

/// Number of a choice. Throws std::out_of_range if there is none of that name.
[[nodiscard]] std::size_t choice_number(const Question& question, const std::string& choice);

}  // namespace damper
