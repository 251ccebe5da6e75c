// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/cover_record.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// Clamp, wear and release of a clutch for a terminal: verdict, limits, the clutch new and worn,
/// curves in a few rows, what faults would make of it, cautions. UTF-8, ends with a line end.
[[nodiscard]] std::string cover_text(const CoverRecord& record);

/// Everything as JSON: SI with units beside them; what is not finite is null.
[[nodiscard]] std::string cover_json(const CoverRecord& record);

/// Curves that there are as CSV: "wear", "spring", "release", "temperature", "states", "cases",
/// and "measured" if something was.
[[nodiscard]] std::vector<std::string> cover_curves();

/// One curve, SI, units in the header. Throws ModelError if there is no curve of that name.
[[nodiscard]] std::string cover_csv(const CoverRecord& record, std::string_view curve);

}  // namespace damper
