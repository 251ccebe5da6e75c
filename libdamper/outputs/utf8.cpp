// SPDX-License-Identifier: MIT
#include "libdamper/outputs/utf8.hpp"

namespace damper {

Decoded decode_utf8(std::string_view text) {
    const Decoded broken{.character = U'\uFFFD', .length = 1, .valid = false};
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned lead = byte(0);
    if (lead < 0x80U) return {.character = lead, .length = 1, .valid = true};
    const std::size_t length = lead >= 0xF0U ? 4 : lead >= 0xE0U ? 3 : 2;
    if (lead < 0xC2U || lead > 0xF4U || text.size() < length) return broken;
    char32_t character = lead & (0x7FU >> length);
    for (std::size_t i = 1; i < length; ++i) {
        if ((byte(i) & 0xC0U) != 0x80U) return broken;
        character = (character << 6U) | (byte(i) & 0x3FU);
    }
    const bool overlong =
        (length == 3 && character < 0x800U) || (length == 4 && character < 0x10000U);
    const bool surrogate = character >= 0xD800U && character <= 0xDFFFU;
    if (overlong || surrogate || character > 0x10FFFFU) return broken;
    return {.character = character, .length = length, .valid = true};
}

void append_utf8(std::string& out, char32_t character) {
    const auto push = [&](char32_t value) { out.push_back(static_cast<char>(value)); };
    if (character < 0x80U) {
        push(character);
    } else if (character < 0x800U) {
        push(0xC0U | (character >> 6U));
        push(0x80U | (character & 0x3FU));
    } else if (character < 0x10000U) {
        push(0xE0U | (character >> 12U));
        push(0x80U | ((character >> 6U) & 0x3FU));
        push(0x80U | (character & 0x3FU));
    } else {
        push(0xF0U | (character >> 18U));
        push(0x80U | ((character >> 12U) & 0x3FU));
        push(0x80U | ((character >> 6U) & 0x3FU));
        push(0x80U | (character & 0x3FU));
    }
}

}  // namespace damper
