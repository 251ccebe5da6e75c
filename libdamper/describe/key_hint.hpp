// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// "Did you mean …?" for a key that is not among `known`: by what the trade calls the thing, by
/// the beginning of the word, or by the nearest spelling. Empty if none comes near.
[[nodiscard]] std::string key_hint(std::string_view name, const std::vector<std::string>& known);

}  // namespace damper
