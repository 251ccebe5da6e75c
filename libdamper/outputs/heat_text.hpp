// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/heat_record.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// Starts and their heat for a terminal: verdict, limits, one start on the level and on the hill,
/// the row of starts, cautions. UTF-8, ends with a line end.
[[nodiscard]] std::string heat_text(const HeatRecord& record);

/// Everything as JSON: SI with units beside them; what is not finite is null.
[[nodiscard]] std::string heat_json(const HeatRecord& record);

/// Tables that there are as CSV: "steps", "starts", "history".
[[nodiscard]] std::vector<std::string> heat_curves();

/// One table, SI, units in the header. Throws ModelError if there is none of that name.
[[nodiscard]] std::string heat_csv(const HeatRecord& record, std::string_view curve);

}  // namespace damper
