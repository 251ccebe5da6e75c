// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/quantity/read_quantity.hpp"

#include <cstddef>
#include <string>
#include <string_view>

namespace damper {

/// Reads the unit that begins at byte `begin` of `text` and goes to its end. Faults quote the whole
/// text and count columns in it. An empty rest is the unit of plain numbers.
[[nodiscard]] UnitResult read_unit_at(std::string_view text, std::size_t begin);

/// Column of a byte in UTF-8 text, counted in characters from 1.
[[nodiscard]] int column_of(std::string_view text, std::size_t position);

/// The text in quotation marks, shortened if it is long, without control characters.
[[nodiscard]] std::string quote(std::string_view text);

}  // namespace damper
