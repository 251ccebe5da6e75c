// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/check_report.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// "kept", "missed", "unchanged", "bad_input", "unsolved", "not_reached": the word in files.
[[nodiscard]] std::string_view end_key(CheckEnd end);
/// "Kept", "Missed", "Unchanged", "Not read", "Not solved", "Not reached": the word for people.
[[nodiscard]] std::string_view end_word(CheckEnd end);
/// "band", "baseline", "baseline_signal".
[[nodiscard]] std::string_view against_key(CheckedAgainst against);

/// "shuffle_frequency 4.553 Hz is 5.1 % above the baseline's 4.331 Hz; 4.288 to 4.374 Hz is kept
/// (1 % allowed), margin -4.1".
[[nodiscard]] std::string sentence_of(const CheckedValue& value);

/// A margin for a table: "0.42", "-4.1", "–" if there is none.
[[nodiscard]] std::string check_margin_text(double margin);

/// "68 scenarios: 66 kept, 1 missed, 1 not solved".
[[nodiscard]] std::string summary_of(const CheckReport& report);

/// The scenarios, smallest margin first; those that could not be compared before them.
[[nodiscard]] std::vector<const CheckedScenario*> by_margin(const CheckReport& report);

}  // namespace damper
