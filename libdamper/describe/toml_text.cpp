// SPDX-License-Identifier: MIT
#include "libdamper/describe/toml_text.hpp"

#include "libdamper/describe/text_checks.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace damper {

std::string toml_text(std::string_view text) {
    std::string out = "\"";
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t size = utf8_sequence_size(text, i);
        const auto byte = static_cast<unsigned char>(text[i]);
        if (size == 0) {
            out += "\xEF\xBF\xBD";
        } else if (byte == '"' || byte == '\\') {
            out += '\\';
            out += text[i];
        } else if (byte < 0x20 || byte == 0x7F) {
            out += fmt::format("\\u{:04X}", static_cast<unsigned>(byte));
        } else {
            out += text.substr(i, size);
        }
        i += size == 0 ? 1 : size;
    }
    return out + "\"";
}

std::string toml_key(std::string_view text) {
    const bool bare = !text.empty() && std::ranges::all_of(text, [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
               c == '_' || c == '-';
    });
    return bare ? std::string(text) : toml_text(text);
}

}  // namespace damper
