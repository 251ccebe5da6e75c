// SPDX-License-Identifier: MIT
#pragma once

#include <string_view>
#include <tuple>
#include <utility>
#include <vector>

namespace damper {

/// What a value must lie within. Bounds are texts with units, as messages show them; empty: none.
struct Range {
    std::string_view low;
    std::string_view high;
    bool low_excluded = false;            ///< The value must be more than `low`.
    std::vector<std::string_view> words;  ///< The words to choose from; empty: not a choice.
    int least = 0;                        ///< Fewest entries of a list.
    int most = 0;                         ///< Most entries of a list; 0: no list of parts.
};

/// What holds when the key is missing.
struct Need {
    enum class Kind { required, has_default, may_be_absent };
    Kind kind = Kind::required;
    std::string_view text;  ///< The default, written as a user would write it.
};

/// One key of a part: what it is called, where it is kept, what it may be, what it means.
template <class Part, class Value>
struct Field {
    std::string_view key;
    Value Part::*member;
    Range range;
    Need need;
    std::string_view meaning;
};

template <class Part, class Value>
[[nodiscard]] Field<Part, Value> field(std::string_view key, Value Part::*member, Range range,
                                       Need need, std::string_view meaning) {
    return {key, member, std::move(range), need, meaning};
}

/// low ≤ value ≤ high.
[[nodiscard]] inline Range within(std::string_view low, std::string_view high) {
    return {low, high, false, {}, 0, 0};
}
/// low < value ≤ high.
[[nodiscard]] inline Range above(std::string_view low, std::string_view high) {
    return {low, high, true, {}, 0, 0};
}
/// One of some words.
[[nodiscard]] inline Range one_of(std::vector<std::string_view> words) {
    return {"", "", false, std::move(words), 0, 0};
}
/// Any text or part.
[[nodiscard]] inline Range any() {
    return {};
}
/// A list of parts with so many entries.
[[nodiscard]] inline Range entries(int least, int most) {
    return {"", "", false, {}, least, most};
}

inline constexpr Need required{Need::Kind::required, ""};
/// Left as it is in an empty part; rules across fields say when that will not do.
inline constexpr Need may_be_absent{Need::Kind::may_be_absent, ""};
[[nodiscard]] constexpr Need otherwise(std::string_view text) {
    return {Need::Kind::has_default, text};
}

/// What a kind of part is called and where its files lie. Specialised beside each field table:
///     static constexpr std::string_view noun;    "a disc"
///     static constexpr std::string_view folder;  "discs"; empty: always given in place
///     static auto fields();                      std::tuple of Field
template <class Part>
struct PartTable;

/// Calls visit(field) for each key of a part, in the order of its table.
template <class Part, class Visit>
void for_each_field(Visit&& visit) {
    static const auto table = PartTable<Part>::fields();
    std::apply([&](const auto&... one) { (visit(one), ...); }, table);
}

}  // namespace damper
