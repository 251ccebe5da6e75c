// SPDX-License-Identifier: MIT
#include "libdamper/describe/read_value.hpp"

#include "libdamper/base/nearest_word.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/quantity/read_unit_text.hpp"
#include "libdamper/quantity/unit_table.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace damper {

namespace {

constexpr std::size_t longest_text = 1000;  // of titles and origins [bytes]

/// A bound of a range in SI; ranges are part of the program, so they read or the program is wrong.
double bound(std::string_view text, const Dimension& dimension) {
    return std::get<double>(read_quantity(text, dimension));
}

bool outside(double si, const Dimension& due, const Range& range) {
    if (range.low.empty()) return false;
    // A bound typed in other words than the range may differ in its last bits.
    const double slack = 1e-12;
    const double low = bound(range.low, due);
    const double high = bound(range.high, due);
    if (range.low_excluded ? si <= low : si < low - slack * std::abs(low)) return true;
    return si > high + slack * std::abs(high);
}

std::optional<double> plain_number(const TreeNode& node) {
    if (const auto* integer = std::get_if<std::int64_t>(&node.value)) {
        return static_cast<double>(*integer);
    }
    if (const auto* real = std::get_if<double>(&node.value)) return *real;
    return std::nullopt;
}

/// Whole numbers are written as such in files; a command line has only text.
std::optional<std::int64_t> whole_number(const TreeNode& node) {
    if (const auto* integer = std::get_if<std::int64_t>(&node.value)) return *integer;
    const std::string* text = node.text();
    if (text == nullptr || node.origin != TreeNode::Origin::set) return std::nullopt;
    std::int64_t value = 0;
    const char* end = text->data() + text->size();
    const auto read = std::from_chars(text->data(), end, value);
    if (read.ec != std::errc() || read.ptr != end) return std::nullopt;
    return value;
}

}  // namespace

std::string in_words(const Range& range) {
    return fmt::format("{} {} and at most {}", range.low_excluded ? "more than" : "at least",
                       range.low, range.high);
}

std::string example_of(const Dimension& due) {
    const DimensionName* name = name_of(due);
    if (name == nullptr) return spoken(due);
    if (due == Dimension{}) return fmt::format("{}, for example {}", name->noun, name->example);
    return fmt::format("{}, for example \"{}\"", name->noun, name->example);
}

void ValueReader::refuse(const Spot& spot, const std::string& path, std::string found,
                         std::string expected, std::string mend) {
    findings_.push_back(
        {map_.place(spot), path, std::move(found), std::move(expected), std::move(mend)});
}

std::optional<double> ValueReader::quantity(const TreeNode& node, const std::string& path,
                                            const Dimension& due, const Range& range) {
    std::optional<double> si = plain_number(node);
    if (si && due != Dimension{}) {
        refuse(node.spot, path, in_words(node) + ", a bare number", example_of(due),
               "Write it as text with its unit, in quotation marks.");
        return std::nullopt;
    }
    if (si && !std::isfinite(*si)) {
        refuse(node.spot, path, in_words(node) + ", which is not a finite number", example_of(due));
        return std::nullopt;
    }
    if (!si && node.text() == nullptr) {
        refuse(node.spot, path, in_words(node), example_of(due));
        return std::nullopt;
    }
    if (!si) {
        auto read = read_quantity(*node.text(), due);
        if (auto* fault = std::get_if<QuantityFault>(&read)) {
            Spot spot = node.spot;
            // The column inside the text: behind the opening quotation mark.
            if (spot.line > 0) spot.column += fault->column;
            refuse(spot, path, fault->found, fault->expected, fault->mend);
            return std::nullopt;
        }
        si = std::get<double>(read);
    }
    if (outside(*si, due, range)) {
        refuse(node.spot, path, in_words(node), in_words(range));
        return std::nullopt;
    }
    return si;
}

std::optional<int> ValueReader::integer(const TreeNode& node, const std::string& path,
                                        const Range& range) {
    const auto value = whole_number(node);
    const bool fits = value && *value >= std::numeric_limits<int>::min() &&
                      *value <= std::numeric_limits<int>::max();
    if (!value) {
        refuse(node.spot, path, in_words(node), "a whole number, " + in_words(range),
               node.text() != nullptr ? "Write it without quotation marks." : "");
        return std::nullopt;
    }
    if (!fits || outside(static_cast<double>(*value), {}, range)) {
        refuse(node.spot, path, in_words(node), in_words(range));
        return std::nullopt;
    }
    return static_cast<int>(*value);
}

std::optional<std::string> ValueReader::text(const TreeNode& node, const std::string& path,
                                             const Range& range) {
    const std::vector<std::string> words(range.words.begin(), range.words.end());
    const std::string expected = words.empty()
                                     ? "a text in quotation marks"
                                     : fmt::format("\"{}\"", fmt::join(words, "\" or \""));
    const std::string* text = node.text();
    if (text == nullptr) {
        refuse(node.spot, path, in_words(node), expected);
        return std::nullopt;
    }
    const bool control = std::ranges::any_of(
        *text, [](char c) { return static_cast<unsigned char>(c) < 0x20U || c == 0x7F; });
    if (control || text->size() > longest_text) {
        refuse(node.spot, path, control ? "a text with control characters" : "a very long text",
               fmt::format("one line of at most {} bytes", longest_text));
        return std::nullopt;
    }
    if (!words.empty() && std::ranges::find(words, *text) == words.end()) {
        const std::string near = nearest_word(*text, words);
        refuse(node.spot, path, in_words(node), expected,
               near.empty() ? "" : fmt::format("Did you mean \"{}\"?", near));
        return std::nullopt;
    }
    return *text;
}

}  // namespace damper
