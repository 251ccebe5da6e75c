// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace damper {

/// Base 64 with padding, no line breaks.
[[nodiscard]] std::string base64(std::string_view bytes);

/// The values as 32-bit little-endian floats in base 64. Values beyond the range of a float
/// become infinite.
[[nodiscard]] std::string base64_floats(std::span<const double> values);

/// The bytes that a string of hexadecimal digits stands for, in base 64. Throws
/// std::invalid_argument on anything else.
[[nodiscard]] std::string base64_of_hex(std::string_view digits);

}  // namespace damper
