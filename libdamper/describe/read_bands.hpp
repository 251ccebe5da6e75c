// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/read_part.hpp"
#include "libdamper/describe/tree.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <string>
#include <utility>
#include <vector>

namespace damper {

/// Reads the table [expect]: one table per measure with `within = [low, high]` and `source`.
/// `measures` are the known ones with their units; if it is empty, names are not looked at.
[[nodiscard]] std::vector<Band> read_bands(
    const TreeNode& node, const std::vector<std::pair<std::string, std::string>>& measures,
    PartReader& reader);

}  // namespace damper
