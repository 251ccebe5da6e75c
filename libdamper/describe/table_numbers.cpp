// SPDX-License-Identifier: MIT
#include "libdamper/describe/table_numbers.hpp"

#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/quantity/read_unit_text.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <variant>

namespace damper {

namespace {

constexpr std::string_view minus_sign = "\xE2\x88\x92";  // U+2212, as some programs write it
constexpr std::size_t group = 3;                         // digits of a group of thousands
constexpr std::size_t longest_number = 64;

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

std::string_view without_sign(std::string_view text) {
    if (text.starts_with(minus_sign)) return text.substr(minus_sign.size());
    if (!text.empty() && (text[0] == '+' || text[0] == '-')) return text.substr(1);
    return text;
}

/// Whether `sign` can group the thousands of this number: "1,234" but not "0,123" or "12,5".
bool can_be_grouped(std::string_view text, char sign) {
    text = without_sign(text);
    const std::size_t first = text.find(sign);
    if (first == 0 || first > group || text[0] == '0') return false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool at_sign = i >= first && (i - first) % (group + 1) == 0;
        if (at_sign ? text[i] != sign : !is_digit(text[i])) return false;
    }
    return (text.size() - first) % (group + 1) == 0;
}

NumberFault no_number(std::string_view cell, char decimal) {
    std::string lower(cell);
    std::ranges::transform(lower, lower.begin(),
                           [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    const std::string_view bare = without_sign(lower);
    constexpr std::array not_finite{"nan", "inf", "infinity", "#n/a", "n/a", "na", "-", "none"};
    if (std::ranges::find(not_finite, bare) != not_finite.end() || bare.empty()) {
        return {cell.empty() ? "an empty cell" : quote(cell), "a finite number",
                "Leave out rows without a measured value."};
    }
    const std::size_t end = lower.find_first_not_of("+-0123456789.,e ");
    if (begins_as_number(cell) && end != std::string::npos &&
        std::holds_alternative<ReadUnit>(read_unit(without_sign(cell.substr(end))))) {
        return {
            quote(cell) + ", a number with a unit", "a number",
            "The unit stands once: behind the name of the column, or in a row below the names."};
    }
    const char other = decimal == '.' ? ',' : '.';
    if (cell.find(other) != std::string_view::npos && begins_as_number(cell)) {
        return {quote(cell),
                fmt::format("a number whose decimal sign is a {}, as in the rest of the table",
                            decimal == '.' ? "point" : "comma"),
                "Use one decimal sign throughout, and do not group thousands."};
    }
    if (begins_as_number(cell) && cell.find(' ') != std::string_view::npos) {
        return {quote(cell) + ", with a blank inside", "a number", "Do not group thousands."};
    }
    return {quote(cell), "a number",
            "Text in the middle of the numbers is allowed only in a line that begins with #."};
}

}  // namespace

bool begins_as_number(std::string_view cell) {
    const std::string_view text = without_sign(cell);
    if (text.empty()) return false;
    return is_digit(text[0]) ||
           (text.size() > 1 && (text[0] == '.' || text[0] == ',') && is_digit(text[1]));
}

void DecimalSign::look_at(std::string_view cell, int line) {
    if (!begins_as_number(cell)) return;
    const auto commas = std::ranges::count(cell, ',');
    const auto points = std::ranges::count(cell, '.');
    if (commas + points > 1) {
        if (grouped_line_ == 0) {
            grouped_line_ = line;
            grouped_ = cell.substr(0, longest_number);
        }
        return;
    }
    if (commas + points == 0) return;
    Seen& seen = commas > 0 ? comma_ : point_;
    if (seen.line == 0) {
        seen.line = line;
        seen.text = cell.substr(0, longest_number);
    }
    if (!seen.certain) seen.certain = !can_be_grouped(cell, commas > 0 ? ',' : '.');
}

DecimalSign::Answer DecimalSign::answer() const {
    Answer answer;
    const std::string mend = "Use one decimal sign throughout, and do not group thousands.";
    if (grouped_line_ != 0) {
        answer.line = grouped_line_;
        answer.fault = NumberFault{quote(grouped_) + ", more than one comma or point in a number",
                                   "one decimal sign, a point or a comma", mend};
        return answer;
    }
    if (comma_.line != 0 && point_.line != 0) {
        const bool comma_first = comma_.line < point_.line;
        const Seen& later = comma_first ? point_ : comma_;
        const Seen& first = comma_first ? comma_ : point_;
        answer.line = later.line;
        answer.fault = NumberFault{
            fmt::format("{}, but {} in line {}", quote(later.text), quote(first.text), first.line),
            "one decimal sign in the whole table", mend};
        return answer;
    }
    const Seen& seen = comma_.line != 0 ? comma_ : point_;
    answer.sign = comma_.line != 0 ? ',' : '.';
    if (seen.line != 0 && !seen.certain) {
        std::string whole = seen.text;
        std::erase(whole, answer.sign);
        std::string part = seen.text;
        std::ranges::replace(part, ',', '.');
        answer.line = seen.line;
        answer.in_doubt = true;
        answer.fault = NumberFault{
            fmt::format("{}, which can be {} or {}", quote(seen.text), part, whole),
            fmt::format("at least one number that tells what the {} is, such as 0{}5",
                        answer.sign == ',' ? "comma" : "point", answer.sign),
            fmt::format("If the {} is the decimal sign, write one number with a zero more behind "
                        "it: {}0.",
                        answer.sign == ',' ? "comma" : "point", seen.text)};
    }
    return answer;
}

TableNumber table_number(std::string_view cell, char decimal) {
    TableNumber number;
    if (cell.empty() || cell.size() > longest_number) {
        number.fault = NumberFault{cell.empty() ? "an empty cell" : quote(cell), "a number",
                                   "Leave out rows without a measured value."};
        return number;
    }
    std::string text;
    if (cell.starts_with(minus_sign) || cell[0] == '-') text = "-";
    text += without_sign(cell);
    const char other = decimal == '.' ? ',' : '.';
    if (!begins_as_number(cell) || text.find(other) != std::string::npos) {
        number.fault = no_number(cell, decimal);
        return number;
    }
    std::ranges::replace(text, decimal, '.');
    const char* end = text.data() + text.size();
    const auto [stopped, error] = std::from_chars(text.data(), end, number.value);
    if (error == std::errc::result_out_of_range || !std::isfinite(number.value)) {
        number.fault = NumberFault{quote(cell), "a number that a computer can hold", ""};
    } else if (error != std::errc() || stopped != end) {
        number.fault = no_number(cell, decimal);
    }
    return number;
}

}  // namespace damper
