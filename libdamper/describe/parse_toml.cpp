// SPDX-License-Identifier: MIT
#include "libdamper/describe/parse_toml.hpp"

#include "libdamper/describe/text_checks.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <string>
#include <toml++/toml.h>
#include <utility>

namespace damper {

namespace {

Spot spot_of(const toml::source_region& region, std::size_t source) {
    return {source, static_cast<int>(region.begin.line), static_cast<int>(region.begin.column)};
}

constexpr int deepest = 16;  // tables and lists; descriptions have four or so

/// Thrown and caught inside this file.
struct TooDeep {
    Spot spot;
};

TreeNode converted(const toml::node& node, std::size_t source, int depth);

TreeNode::Table converted_table(const toml::table& table, std::size_t source, int depth) {
    TreeNode::Table entries;
    for (const auto& [key, value] : table) {
        entries.push_back({std::string(key.str()), spot_of(key.source(), source),
                           converted(value, source, depth + 1)});
    }
    // The parser sorts by name; people read from the top.
    std::ranges::stable_sort(entries, [](const TreeEntry& a, const TreeEntry& b) {
        return std::pair(a.spot.line, a.spot.column) < std::pair(b.spot.line, b.spot.column);
    });
    return entries;
}

TreeNode converted(const toml::node& node, std::size_t source, int depth) {
    TreeNode result;
    result.spot = spot_of(node.source(), source);
    // Inline tables and dotted keys multiply: what parses can be thousands of levels deep, more
    // than the stack holds of this function.
    if (depth > deepest) throw TooDeep{result.spot};
    if (const auto* table = node.as_table()) {
        result.value = converted_table(*table, source, depth);
    } else if (const auto* array = node.as_array()) {
        TreeNode::Array entries;
        for (const toml::node& one : *array) entries.push_back(converted(one, source, depth + 1));
        result.value = std::move(entries);
    } else if (const auto* text = node.as_string()) {
        result.value = text->get();
    } else if (const auto* integer = node.as_integer()) {
        result.value = integer->get();
    } else if (const auto* real = node.as_floating_point()) {
        result.value = real->get();
    } else if (const auto* boolean = node.as_boolean()) {
        result.value = Unusable{boolean->get() ? "true" : "false"};
    } else {
        result.value = Unusable{"a date or time"};
    }
    return result;
}

/// What is wrong in words of the file, and how to mend it.
struct PlainFault {
    std::string found;
    std::string mend =
        "Often a quotation mark, a bracket or an '=' is missing on this line or "
        "above it.";
};

/// The name between the first pair of single quotation marks.
std::string named_in(const std::string& said) {
    const std::size_t begin = said.find('\'');
    const std::size_t end = said.rfind('\'');
    return begin == end ? "" : said.substr(begin + 1, end - begin - 1);
}

/// The number whose decimals follow a comma at this column, written with a point; else empty.
std::string number_with_comma(const Place& place) {
    const std::string& line = place.quote;
    const auto is_digit = [&](std::size_t i) {
        return i < line.size() && line[i] >= '0' && line[i] <= '9';
    };
    // What the parser took for a value is all ASCII, but not what may stand before it.
    std::size_t at = 0;
    for (int column = 1; at < line.size(); ++at) {
        if ((static_cast<unsigned char>(line[at]) & 0xC0U) == 0x80U) continue;
        if (column++ == place.column) break;
    }
    if (at == 0 || at >= line.size() || line[at] != ',' || !is_digit(at - 1) || !is_digit(at + 1)) {
        return "";
    }
    std::size_t begin = at, end = at + 1;
    while (begin > 0 && is_digit(begin - 1)) --begin;
    while (is_digit(end)) ++end;
    return line.substr(begin, at - begin) + "." + line.substr(at + 1, end - at - 1);
}

/// The parser knows the grammar; people know keys, tables and quotation marks.
PlainFault in_plain_words(const std::string& said, const Place& place) {
    const auto says = [&](std::string_view part) { return said.find(part) != said.npos; };
    const std::string name = named_in(said);
    if (says("cannot redefine existing") && (says("as array-of-tables") || says("as table"))) {
        return {fmt::format("{0} both as [{0}] and as [[{0}]]", name),
                fmt::format("A list has [[{}]] above each of its entries.", name)};
    }
    if (says("cannot redefine existing table")) {
        return {fmt::format("the table [{}] given twice", name),
                fmt::format("Put its keys under one heading; for a list write [[{}]] above each "
                            "entry.",
                            name)};
    }
    if (says("cannot redefine existing")) {
        return {fmt::format("the key \"{}\" given twice", name), "Leave one of the two."};
    }
    const auto columns = std::ranges::count_if(
        place.quote, [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; });
    if (says("string: ") && (says("end-of-file") || place.column > columns)) {
        return {"a text without its closing quotation mark",
                "Close it on the line on which it begins."};
    }
    if (const std::string number = number_with_comma(place); !number.empty()) {
        return {"a comma in a number",
                fmt::format("Write the decimals behind a point: {}. A value with a unit stands in "
                            "quotation marks as well.",
                            number)};
    }
    if (says("could not determine value type") || says("expected a comment or whitespace")) {
        return {"a value without quotation marks",
                "Texts and values with a unit stand in quotation marks: \"1.2 N m/deg\"."};
    }
    return {};
}

Finding syntax_finding(const toml::parse_error& error, std::size_t source, const SourceMap& map) {
    std::string said(error.description());
    if (!said.empty() && said[0] == 'E') said[0] = 'e';
    for (char& c : said) {
        if (static_cast<unsigned char>(c) < 0x20U) c = ' ';
    }
    const Place place = map.place(spot_of(error.source(), source));
    PlainFault fault = in_plain_words(said, place);
    std::string found = fault.found.empty()
                            ? fmt::format("text that is not TOML ({})", said)
                            : fmt::format("{} (text that is not TOML: {})", fault.found, said);
    return {place, "", std::move(found), "a description in TOML 1.0", std::move(fault.mend)};
}

}  // namespace

std::variant<TreeNode, Finding> parse_toml(std::string_view text, std::size_t source,
                                           const SourceMap& map) {
    if (auto finding = unfit_for_parsing(text)) {
        finding->place = map.place({source, finding->place.line, finding->place.column});
        finding->place.quote.clear();  // what cannot be parsed is no text to show
        return *finding;
    }
    try {
        const toml::table table = toml::parse(text);
        TreeNode root;
        root.value = converted_table(table, source, 0);
        root.spot = {source, 1, 1};
        return root;
    } catch (const toml::parse_error& error) {
        return syntax_finding(error, source, map);
    } catch (const TooDeep& nested) {
        return Finding{map.place(nested.spot), "", "keys nested too deep",
                       fmt::format("at most {} levels", deepest),
                       "Descriptions nest four levels or so."};
    }
}

}  // namespace damper
