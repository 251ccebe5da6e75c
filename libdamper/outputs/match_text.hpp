// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/match_record.hpp"

#include <string>

namespace damper {

/// Values, intervals, what cannot be told apart, and how the figures are met, for a terminal.
/// UTF-8, ends with a line end.
[[nodiscard]] std::string match_text(const MatchRecord& record);

/// The same as JSON. Numbers are SI with units beside them; what is not finite is null.
[[nodiscard]] std::string match_json(const MatchRecord& record);

/// A [change] table for a scenario or complaint, each value with its interval behind it.
[[nodiscard]] std::string match_toml(const MatchRecord& record);

/// The same as the text as one page that needs no other file and no network.
[[nodiscard]] std::string html_match(const MatchRecord& record);

}  // namespace damper
