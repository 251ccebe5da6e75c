// SPDX-License-Identifier: MIT
#pragma once

#include <bit>
#include <cstdint>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// The way back from base 64, written on its own so that it can judge the way there.
inline std::string decode_base64(std::string_view text) {
    std::string bytes;
    std::uint32_t bits = 0;
    int held = 0;
    for (const char c : text) {
        std::uint32_t digit = 0;
        if (c >= 'A' && c <= 'Z')
            digit = static_cast<std::uint32_t>(c - 'A');
        else if (c >= 'a' && c <= 'z')
            digit = static_cast<std::uint32_t>(c - 'a') + 26;
        else if (c >= '0' && c <= '9')
            digit = static_cast<std::uint32_t>(c - '0') + 52;
        else if (c == '+')
            digit = 62;
        else if (c == '/')
            digit = 63;
        else if (c == '=')
            break;
        else
            throw std::runtime_error("not base 64");
        bits = (bits << 6U) | digit;
        held += 6;
        if (held >= 8) {
            held -= 8;
            bytes.push_back(static_cast<char>((bits >> held) & 0xFFU));
        }
    }
    return bytes;
}

inline std::vector<float> decode_floats(std::string_view text) {
    const std::string bytes = decode_base64(text);
    std::vector<float> values;
    for (std::size_t i = 0; i + 4 <= bytes.size(); i += 4) {
        std::uint32_t bits = 0;
        for (std::size_t k = 4; k-- > 0;) {
            bits = (bits << 8U) | static_cast<unsigned char>(bytes[i + k]);
        }
        values.push_back(std::bit_cast<float>(bits));
    }
    return values;
}

}  // namespace damper
