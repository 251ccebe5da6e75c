// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>

namespace damper {

/// Text from a file, made safe to show: nothing in it can move a cursor, hide, or turn the
/// reading direction around.
///
/// Tabs and line ends become spaces. Other control characters, marks that steer the reading
/// direction, invisible characters and the private and special blocks are written out, as
/// "[U+202E]". Bytes that are not UTF-8 become U+FFFD. Everything else passes unchanged.
[[nodiscard]] std::string visible_text(std::string_view text);

/// Columns that visible text takes on a terminal: 0 for combining marks, 2 for wide East Asian
/// characters and pictures, else 1.
[[nodiscard]] std::size_t columns_of(std::string_view text);

}  // namespace damper
