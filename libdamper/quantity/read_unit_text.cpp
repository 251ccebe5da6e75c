// SPDX-License-Identifier: MIT
#include "libdamper/quantity/read_unit_text.hpp"

#include "libdamper/base/nearest_word.hpp"
#include "libdamper/quantity/unit_table.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <optional>
#include <vector>

namespace damper {

namespace {

constexpr int largest_power = 6;
constexpr std::size_t most_factors = 12;
constexpr std::size_t longest_quote = 60;

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/// Bytes of the joint between two factors that begins at `i`: 0 if none does.
std::size_t joint_size(std::string_view text, std::size_t i) {
    if (text[i] == ' ' || text[i] == '.' || text[i] == '*') return 1;
    for (const std::string_view dot : {"·", "⋅"}) {
        if (text.substr(i).starts_with(dot)) return dot.size();
    }
    return 0;
}

const Unit* find_unit(std::string_view spelling) {
    const auto table = unit_table();
    const auto found =
        std::ranges::find_if(table, [&](const Unit& unit) { return unit.spelling == spelling; });
    return found == table.end() ? nullptr : &*found;
}

struct Factor {
    const Unit* unit = nullptr;
    int power = 1;
};

/// Takes the power off the end of a factor: "m2", "m^2", "m²", "rad-1".
int take_power(std::string_view& name) {
    for (const auto& [sign, power] : {std::pair{std::string_view("²"), 2}, {"³", 3}}) {
        if (name.ends_with(sign)) {
            name.remove_suffix(sign.size());
            return power;
        }
    }
    std::size_t begin = name.size();
    while (begin > 0 && is_digit(name[begin - 1])) --begin;
    if (begin == name.size() || name.size() - begin > 2) return 1;
    int power = 0;
    for (const char digit : name.substr(begin)) power = 10 * power + (digit - '0');
    if (begin > 0 && (name[begin - 1] == '-' || name[begin - 1] == '+')) {
        --begin;
        if (name[begin] == '-') power = -power;
    }
    if (begin > 0 && name[begin - 1] == '^') --begin;
    name.remove_suffix(name.size() - begin);
    return power;
}

std::optional<Factor> read_factor(std::string_view name) {
    if (const Unit* unit = find_unit(name)) return Factor{unit, 1};
    const int power = take_power(name);
    const Unit* unit = find_unit(name);
    if (unit == nullptr || power == 0 || std::abs(power) > largest_power) return std::nullopt;
    return Factor{unit, power};
}

std::string nearest_unit(std::string_view name) {
    for (const std::string_view celsius : {"C", "c", "celsius", "Celsius", "deg C"}) {
        if (name == celsius) return "degC";
    }
    std::vector<std::string> spellings;
    for (const Unit& unit : unit_table()) {
        if (unit.spelling.size() > 1) spellings.emplace_back(unit.spelling);
    }
    std::string near = nearest_word(name, spellings);
    if (near.empty() && take_power(name) != 1) near = nearest_word(name, spellings);
    return near;
}

class UnitReader {
  public:
    UnitReader(std::string_view text, std::size_t begin) : text_(text), at_(begin) {}

    UnitResult read() {
        while (at_ < text_.size()) {
            if (text_[at_] == '/') {
                if (below_) return fault("a second '/'", "Write one '/' with one unit behind it.");
                below_ = true;
                ++at_;
                skip_blanks();
                if (at_ == text_.size()) return fault("nothing behind the '/'", "");
                continue;
            }
            if (below_ && factors_below_ > 0) {
                return fault("more than one unit behind the '/'",
                             "Write one unit behind the '/', the others before it.");
            }
            if (auto wrong = take_factor()) return *wrong;
            if (auto wrong = take_joint()) return *wrong;
        }
        if (count_ > 1 && unit_.offset != 0.0) {
            return fault("a temperature scale inside a compound unit", "Write K for differences.");
        }
        return unit_;
    }

  private:
    void skip_blanks() {
        while (at_ < text_.size() && text_[at_] == ' ') ++at_;
    }

    [[nodiscard]] QuantityFault fault(const std::string& what, std::string mend) const {
        return {column_of(text_, at_), fmt::format("{} with {}", quote(text_), what),
                "a unit such as \"N m/deg\"", std::move(mend)};
    }

    std::optional<QuantityFault> take_factor() {
        std::size_t end = at_;
        while (end < text_.size() && text_[end] != '/' && joint_size(text_, end) == 0) ++end;
        const std::string_view name = text_.substr(at_, end - at_);
        if (name.empty()) return fault("two signs where one joins units", "");
        const auto factor = read_factor(name);
        if (!factor || count_ == most_factors) {
            const std::string near = nearest_unit(name);
            return fault(fmt::format("the unknown unit {}", quote(name)),
                         near.empty() ? "" : fmt::format("Did you mean \"{}\"?", near));
        }
        apply(*factor);
        at_ = end;
        return std::nullopt;
    }

    void apply(const Factor& factor) {
        const int power = below_ ? -factor.power : factor.power;
        for (int i = 0; i < std::abs(power); ++i) {
            (power > 0 ? unit_.numerator : unit_.denominator) *= factor.unit->factor;
        }
        const Dimension& d = factor.unit->dimension;
        unit_.dimension.mass += power * d.mass;
        unit_.dimension.length += power * d.length;
        unit_.dimension.time += power * d.time;
        unit_.dimension.temperature += power * d.temperature;
        unit_.dimension.angle += power * d.angle;
        unit_.offset += factor.unit->offset;
        count_ += power == 1 ? 1 : 2;  // a power, too, bars a temperature scale
        if (below_) ++factors_below_;
    }

    /// Blanks with at most one sign among them. A sign must be followed by a factor.
    std::optional<QuantityFault> take_joint() {
        skip_blanks();
        if (at_ == text_.size() || text_[at_] == '/') return std::nullopt;
        const std::size_t size = joint_size(text_, at_);
        if (size == 0) return std::nullopt;
        const std::size_t sign = at_;
        at_ += size;
        skip_blanks();
        if (at_ == text_.size() || text_[at_] == '/') {
            at_ = sign;
            return fault("nothing behind the sign that joins units", "");
        }
        return std::nullopt;
    }

    std::string_view text_;
    std::size_t at_;
    ReadUnit unit_;
    bool below_ = false;
    std::size_t factors_below_ = 0;
    std::size_t count_ = 0;
};

}  // namespace

UnitResult read_unit_at(std::string_view text, std::size_t begin) {
    return UnitReader(text, begin).read();
}

int column_of(std::string_view text, std::size_t position) {
    int column = 1;
    for (std::size_t i = 0; i < std::min(position, text.size()); ++i) {
        const bool continues = (static_cast<unsigned char>(text[i]) & 0xC0U) == 0x80U;
        if (!continues) ++column;
    }
    return column;
}

std::string quote(std::string_view text) {
    std::size_t size = std::min(text.size(), longest_quote);
    while (size < text.size() && size > 0 &&
           (static_cast<unsigned char>(text[size]) & 0xC0U) == 0x80U) {
        --size;  // never cut a character in two
    }
    std::string shown;
    for (const char c : text.substr(0, size)) {
        shown += static_cast<unsigned char>(c) < 0x20U || c == 0x7F ? '?' : c;
    }
    return fmt::format("\"{}{}\"", shown, size < text.size() ? "…" : "");
}

}  // namespace damper
