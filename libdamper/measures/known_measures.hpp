// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace damper {

/// Every measure that some manoeuvre takes, with its units: what a band may be set on.
[[nodiscard]] const std::vector<std::pair<std::string, std::string>>& known_measures();

}  // namespace damper
