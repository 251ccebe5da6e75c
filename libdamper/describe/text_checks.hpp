// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/finding.hpp"

#include <cstddef>
#include <optional>
#include <string_view>

namespace damper {

inline constexpr std::size_t largest_description = std::size_t{1024} * 1024;  ///< [bytes]
inline constexpr std::size_t longest_line = 4096;                             ///< [bytes]
inline constexpr int most_dots_in_line = 32;  ///< Points of decimals aside.

/// What bars a text from being handed to the TOML parser, or nothing: too large, lines too long,
/// no UTF-8, zero bytes, keys nested so deep that a recursive parser would run out of stack.
/// The finding has line and column but no file.
[[nodiscard]] std::optional<Finding> unfit_for_parsing(std::string_view text);

/// What of that concerns the encoding alone: UTF-16, zero bytes, no UTF-8.
[[nodiscard]] std::optional<Finding> unfit_encoding(std::string_view text);

/// Length of the well-formed UTF-8 sequence that begins at byte `i`; 0 if there is none.
[[nodiscard]] std::size_t utf8_sequence_size(std::string_view text, std::size_t i);

}  // namespace damper
