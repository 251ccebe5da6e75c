// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/finding.hpp"
#include "libdamper/describe/source_map.hpp"
#include "libdamper/describe/tree.hpp"

#include <cstddef>
#include <string_view>
#include <variant>

namespace damper {

/// TOML 1.0 text, already taken into `map` as `source`, → tree, or what is wrong with it.
/// The text is checked with unfit_for_parsing() first.
[[nodiscard]] std::variant<TreeNode, Finding> parse_toml(std::string_view text, std::size_t source,
                                                         const SourceMap& map);

}  // namespace damper
