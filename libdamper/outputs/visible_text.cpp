// SPDX-License-Identifier: MIT
#include "libdamper/outputs/visible_text.hpp"

#include "libdamper/outputs/utf8.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace damper {
namespace {

struct Range {
    char32_t first, last;
};

template <std::size_t n>
bool in_any(const std::array<Range, n>& ranges, char32_t character) {
    return std::any_of(ranges.begin(), ranges.end(), [&](const Range& range) {
        return character >= range.first && character <= range.last;
    });
}

// Characters that act on the text around them or show nothing at all.
constexpr std::array<Range, 17> hidden{{
    {0x00, 0x1F},
    {0x7F, 0x9F},  // control characters
    {0xAD, 0xAD},  // soft hyphen
    {0x34F, 0x34F},
    {0x61C, 0x61C},  // joiner, Arabic letter mark
    {0x115F, 0x1160},
    {0x17B4, 0x17B5},  // fillers
    {0x180B, 0x180F},  // Mongolian selectors
    {0x200B, 0x200F},
    {0x2028, 0x202E},  // zero width, line separators, direction marks
    {0x2060, 0x206F},
    {0x3164, 0x3164},  // joiners, isolates, filler
    {0xE000, 0xF8FF},  // private use
    {0xFE00, 0xFE0F},
    {0xFEFF, 0xFEFF},  // variation selectors, byte order mark
    {0xFFF0, 0xFFFB},
    {0xE0000, 0x10FFFF},  // specials, tags, private planes
}};

constexpr std::array<Range, 5> combining{
    {{0x300, 0x36F}, {0x483, 0x489}, {0x1AB0, 0x1AFF}, {0x1DC0, 0x1DFF}, {0x20D0, 0x20FF}}};

constexpr std::array<Range, 7> wide{{{0x1100, 0x115E},
                                     {0x2E80, 0xA4CF},
                                     {0xAC00, 0xD7A3},
                                     {0xF900, 0xFAFF},
                                     {0xFE30, 0xFE6F},
                                     {0xFF00, 0xFF60},
                                     {0x1F300, 0x3FFFD}}};

}  // namespace

std::string visible_text(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    while (!text.empty()) {
        const Decoded next = decode_utf8(text);
        if (!next.valid) {
            append_utf8(out, next.character);
        } else if (next.character == U'\n' || next.character == U'\t' || next.character == U'\r') {
            out.push_back(' ');
        } else if (in_any(hidden, next.character)) {
            out += fmt::format("[U+{:04X}]", static_cast<unsigned>(next.character));
        } else {
            out += text.substr(0, next.length);
        }
        text.remove_prefix(next.length);
    }
    return out;
}

std::size_t columns_of(std::string_view text) {
    std::size_t columns = 0;
    while (!text.empty()) {
        const Decoded next = decode_utf8(text);
        if (in_any(wide, next.character)) {
            columns += 2;
        } else if (!in_any(combining, next.character)) {
            columns += 1;
        }
        text.remove_prefix(next.length);
    }
    return columns;
}

}  // namespace damper
