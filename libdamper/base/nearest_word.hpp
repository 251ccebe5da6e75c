// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace damper {

/// The candidate that `word` was probably meant to be, or "" if none is near. Near means few
/// letters added, left out, changed or swapped; capitals and blanks count for little. A candidate
/// that begins with the word, or ends with it, is near as well.
[[nodiscard]] std::string nearest_word(std::string_view word,
                                       std::span<const std::string> candidates);

/// Letters added, left out, changed or swapped with their neighbour between two words. Another
/// capitalisation counts a quarter.
[[nodiscard]] double word_distance(std::string_view a, std::string_view b);

}  // namespace damper
