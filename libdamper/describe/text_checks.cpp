// SPDX-License-Identifier: MIT
#include "libdamper/describe/text_checks.hpp"

#include <fmt/format.h>
#include <string>
#include <utility>

namespace damper {

namespace {

Finding unfit(int line, std::size_t column, std::string found, std::string expected,
              std::string mend = "") {
    return {{"", line, static_cast<int>(column), ""},
            "",
            std::move(found),
            std::move(expected),
            std::move(mend)};
}

unsigned byte_at(std::string_view text, std::size_t i) {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U;
}

}  // namespace

// Table 3-7 of the Unicode Standard, recalled, not read in the source.
std::size_t utf8_sequence_size(std::string_view text, std::size_t i) {
    const unsigned lead = byte_at(text, i);
    if (lead < 0x80U) return 1;
    const auto follows = [&](std::size_t k, unsigned low = 0x80U, unsigned high = 0xBFU) {
        const unsigned byte = byte_at(text, i + k);
        return byte >= low && byte <= high;
    };
    if (lead >= 0xC2U && lead <= 0xDFU) return follows(1) ? 2 : 0;
    if (lead >= 0xE0U && lead <= 0xEFU) {
        const unsigned low = lead == 0xE0U ? 0xA0U : 0x80U;
        const unsigned high = lead == 0xEDU ? 0x9FU : 0xBFU;
        return follows(1, low, high) && follows(2) ? 3 : 0;
    }
    if (lead >= 0xF0U && lead <= 0xF4U) {
        const unsigned low = lead == 0xF0U ? 0x90U : 0x80U;
        const unsigned high = lead == 0xF4U ? 0x8FU : 0xBFU;
        return follows(1, low, high) && follows(2) && follows(3) ? 4 : 0;
    }
    return 0;
}

std::optional<Finding> unfit_encoding(std::string_view text) {
    if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF")) {
        return unfit(1, 1, "text in UTF-16", "text in UTF-8",
                     "Save the file again with the encoding UTF-8.");
    }
    int line = 1;
    std::size_t column = 1;
    for (std::size_t i = 0; i < text.size();) {
        if (text[i] == '\0') {
            return unfit(line, column, "a zero byte", "text in UTF-8",
                         "This is no text file, or one in another encoding.");
        }
        const std::size_t size = utf8_sequence_size(text, i);
        if (size == 0) {
            return unfit(line, column, fmt::format("the byte 0x{:02X}", byte_at(text, i)),
                         "text in UTF-8", "Save the file again with the encoding UTF-8.");
        }
        if (text[i] == '\n') {
            ++line;
            column = 1;
        } else {
            ++column;
        }
        i += size;
    }
    return std::nullopt;
}

namespace {

bool is_digit(unsigned byte) {
    return byte >= '0' && byte <= '9';
}

bool is_word(unsigned byte) {
    return is_digit(byte) || (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') ||
           byte == '_' || byte == '-' || byte == '+';
}

/// Whether the point at `i` is that of a lone decimal number: "1.5", but not in "1.5.6".
bool is_decimal_point(std::string_view line, std::size_t i) {
    if (i == 0 || !is_digit(byte_at(line, i - 1)) || !is_digit(byte_at(line, i + 1))) return false;
    std::size_t begin = i;
    while (begin > 0 && is_word(byte_at(line, begin - 1))) --begin;
    std::size_t end = i + 1;
    while (end < line.size() && is_word(byte_at(line, end))) ++end;
    return (begin == 0 || line[begin - 1] != '.') && byte_at(line, end) != '.';
}

/// A dotted key makes a nested table per dot. Strings and comments are counted as well: telling
/// them apart for certain takes the parser that this protects.
std::optional<Finding> bad_line(std::string_view line, int number) {
    if (line.size() > longest_line) {
        return unfit(number, 1, fmt::format("a line of {} bytes", line.size()),
                     fmt::format("at most {} bytes in a line", longest_line),
                     "Break the line up; this may also be no description file at all.");
    }
    int dots = 0;
    for (std::size_t i = 0; i < line.size(); ++i) {
        if (line[i] != '.' || is_decimal_point(line, i)) continue;
        if (++dots > most_dots_in_line) {
            return unfit(number, i + 1, "keys nested too deep",
                         fmt::format("at most {} dots in a line", most_dots_in_line),
                         "Descriptions nest four levels or so.");
        }
    }
    return std::nullopt;
}

}  // namespace

std::optional<Finding> unfit_for_parsing(std::string_view text) {
    if (text.size() > largest_description) {
        return unfit(0, 0, fmt::format("a file of {} bytes", text.size()),
                     fmt::format("at most {} bytes", largest_description),
                     "Descriptions have a few kilobytes; is this the right file?");
    }
    if (auto finding = unfit_encoding(text)) return finding;
    int number = 1;
    while (!text.empty()) {
        const std::size_t end = text.find('\n');
        if (auto finding = bad_line(text.substr(0, end), number)) return finding;
        text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
        ++number;
    }
    return std::nullopt;
}

}  // namespace damper
