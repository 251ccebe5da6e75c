// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace damper {

/// The first character of a text and how many bytes it takes.
struct Decoded {
    char32_t character = 0;
    std::size_t length = 0;
    bool valid = false;  ///< If not, `length` is 1 and `character` is U+FFFD.
};

/// Decodes the first character of a text that is not empty. Refuses overlong forms, halves of
/// surrogate pairs and values above U+10FFFF.
/// Source: RFC 3629 (2003), UTF-8, a transformation format of ISO 10646, section 4 (recalled,
/// not read in the source).
[[nodiscard]] Decoded decode_utf8(std::string_view text);

/// Appends one character.
void append_utf8(std::string& out, char32_t character);

}  // namespace damper
