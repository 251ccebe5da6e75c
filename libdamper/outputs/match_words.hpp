// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/match_record.hpp"

#include <string>
#include <vector>

namespace damper {

/// Whether any vehicle in the ranges shows the figures, in a sentence or two.
[[nodiscard]] std::string match_headline(const MatchRecord& record);

/// "×0.43", "4.2 °": a number as this value has it.
[[nodiscard]] std::string match_number(const MatchValue& value, double number);

/// "0.38 to 0.49", "at least 0.38", "anything in its range": the 95 % interval.
[[nodiscard]] std::string match_interval(const MatchRecord& record, const MatchValue& value);

/// What these figures cannot tell apart, a sentence each.
[[nodiscard]] std::vector<std::string> match_ties(const MatchRecord& record);

/// What measuring another figure would bring, a sentence each.
[[nodiscard]] std::vector<std::string> match_further(const MatchRecord& record);

/// What to mind: what the intervals leave out.
[[nodiscard]] std::vector<std::string> match_cautions(const MatchRecord& record);

/// The changes as words behind --set, quoted for a shell.
[[nodiscard]] std::string match_settings(const MatchRecord& record);

}  // namespace damper
