// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/check_report.hpp"

#include <string>

namespace damper {

/// A check for a terminal: the table, smallest margin first, what was missed in sentences, the
/// slowest scenarios, the count.
[[nodiscard]] std::string check_text(const CheckReport& report);

/// The same as JSON, SI. Times stand in a table of their own, `times`, and only if asked for:
/// without them the text is the same whatever the threads.
[[nodiscard]] std::string check_json(const CheckReport& report, bool with_times);

}  // namespace damper
