// SPDX-License-Identifier: MIT
#include "libdamper/quantity/read_quantity.hpp"

#include "libdamper/quantity/read_unit_text.hpp"
#include "libdamper/quantity/unit_table.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <cctype>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <fmt/format.h>
#include <optional>
#include <stdexcept>
#include <system_error>

namespace damper {

namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

std::string example_of(const Dimension& due) {
    const DimensionName* name = name_of(due);
    if (name == nullptr) return spoken(due);
    return fmt::format("{}, for example \"{}\"", name->noun, name->example);
}

QuantityFault fault_at(std::string_view text, std::size_t position, std::string found,
                       std::string expected, std::string mend = "") {
    return {column_of(text, position), std::move(found), std::move(expected), std::move(mend)};
}

struct Number {
    double value = 0.0;
    std::size_t end = 0;  // first byte behind it
};

/// End of [sign] digits [. digits] [e exponent] that begins at `begin`, or `begin` if none does.
std::size_t end_of_number(std::string_view text, std::size_t begin) {
    std::size_t i = begin;
    if (i < text.size() && (text[i] == '+' || text[i] == '-')) ++i;
    const std::size_t first = i;
    std::size_t digits = 0;
    while (i < text.size() && is_digit(text[i])) ++i, ++digits;
    if (i < text.size() && text[i] == '.') {
        ++i;
        while (i < text.size() && is_digit(text[i])) ++i, ++digits;
    }
    if (digits == 0) return begin;
    if (i > first && i < text.size() && (text[i] == 'e' || text[i] == 'E')) {
        std::size_t j = i + 1;
        if (j < text.size() && (text[j] == '+' || text[j] == '-')) ++j;
        if (j < text.size() && is_digit(text[j])) {
            while (j < text.size() && is_digit(text[j])) ++j;
            i = j;
        }
    }
    return i;
}

bool says_not_finite(std::string_view text) {
    std::string word;
    for (const char c : text) {
        if (c == '+' || c == '-') continue;
        if (std::isalpha(static_cast<unsigned char>(c)) == 0) break;
        word += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    }
    return word == "nan" || word == "inf" || word == "infinity";
}

std::variant<Number, QuantityFault> read_number(std::string_view text, std::size_t begin,
                                                const std::string& expected) {
    const std::string quoted = quote(text);
    if (begin == text.size()) return fault_at(text, 0, "an empty text", expected);
    if (says_not_finite(text.substr(begin))) {
        return fault_at(text, begin, quoted + ", which is not a finite number", expected);
    }
    const std::size_t end = end_of_number(text, begin);
    if (end == begin) {
        return fault_at(text, begin, quoted + ", which does not begin with a number", expected);
    }
    if (end + 1 < text.size() && text[end] == ',' && is_digit(text[end + 1])) {
        return fault_at(text, end, quoted + " with a comma in the number", expected,
                        "Write the decimals behind a point: 1.5, not 1,5.");
    }
    if (end < text.size() && (text[end] == '_' || text[end] == '\'')) {
        return fault_at(text, end, quoted + " with a separator between digits", expected,
                        "Write the digits without anything between them.");
    }
    Number number{0.0, end};
    const std::size_t from = text[begin] == '+' ? begin + 1 : begin;
    const auto read = std::from_chars(text.data() + from, text.data() + end, number.value);
    if (read.ec == std::errc::result_out_of_range || !std::isfinite(number.value)) {
        return fault_at(text, begin, quoted + ", a number beyond what can be computed with",
                        expected);
    }
    return number;
}

std::optional<std::string> special_hint(const Dimension& is, const Dimension& due) {
    const auto pair = [&](const Dimension& a, const Dimension& b) { return is == a && due == b; };
    constexpr Dimension rate = Rate::dimension, speed = AngularSpeed::dimension;
    if (pair(rate, speed)) {
        return "Turns per minute are written rpm; Hz, 1/s and 1/min do not say per turn or per "
               "radian.";
    }
    if (pair(speed, rate)) return "Write events per second in Hz: 60 turns a minute are 1 Hz.";
    if (pair(Torque::dimension, Stiffness::dimension)) {
        return "Say per which angle: N m/deg or N m/rad.";
    }
    if (pair(Impulse::dimension, Damping::dimension)) {
        return "Say per which angular speed: N m s/rad.";
    }
    if (pair(Torque::dimension, Energy::dimension)) return "An energy is written in J.";
    if (pair(Energy::dimension, Torque::dimension)) return "A torque is written in N m.";
    if (pair(Mass::dimension, Acceleration::dimension)) {
        return "g means gram here; standard gravity is 9.80665 m/s2.";
    }
    return std::nullopt;
}

struct Read {
    double number = 0.0;
    ReadUnit unit;
    bool has_unit = false;
    std::size_t unit_begin = 0;
};

double to_si(const Read& read) {
    return read.number * read.unit.numerator / read.unit.denominator + read.unit.offset;
}

std::variant<Read, QuantityFault> read_parts(std::string_view text, const std::string& expected) {
    std::size_t begin = 0;
    while (begin < text.size() && text[begin] == ' ') ++begin;
    const auto number = read_number(text, begin, expected);
    if (const auto* fault = std::get_if<QuantityFault>(&number)) return *fault;
    Read read;
    read.number = std::get<Number>(number).value;
    read.unit_begin = std::get<Number>(number).end;
    while (read.unit_begin < text.size() && text[read.unit_begin] == ' ') ++read.unit_begin;
    read.has_unit = read.unit_begin < text.size();
    const auto unit = read_unit_at(text, read.unit_begin);
    if (const auto* fault = std::get_if<QuantityFault>(&unit)) {
        QuantityFault said = *fault;
        said.expected = expected;
        return said;
    }
    read.unit = std::get<ReadUnit>(unit);
    if (!std::isfinite(to_si(read))) {
        return fault_at(text, begin, quote(text) + ", a number beyond what can be computed with",
                        expected);
    }
    return read;
}

}  // namespace

QuantityFault wrong_dimension(std::string_view text, const Dimension& is, const Dimension& due) {
    QuantityFault fault{1, fmt::format("{}, which is {}", quote(text), spoken(is)), example_of(due),
                        ""};
    fault.mend = special_hint(is, due).value_or("");
    return fault;
}

QuantityResult read_quantity(std::string_view text, const Dimension& due) {
    const auto parts = read_parts(text, example_of(due));
    if (const auto* fault = std::get_if<QuantityFault>(&parts)) return *fault;
    const Read& read = std::get<Read>(parts);
    if (!read.has_unit && due != Dimension{}) {
        return fault_at(text, text.size(), quote(text) + " without a unit", example_of(due),
                        "Write the unit behind the number.");
    }
    if (read.unit.dimension != due) {
        QuantityFault fault = wrong_dimension(text, read.unit.dimension, due);
        fault.column = column_of(text, read.unit_begin);
        return fault;
    }
    return to_si(read);
}

std::variant<AnyQuantity, QuantityFault> read_any_quantity(std::string_view text) {
    const auto parts = read_parts(text, "a number with its unit, for example \"60 rpm\"");
    if (const auto* fault = std::get_if<QuantityFault>(&parts)) return *fault;
    const Read& read = std::get<Read>(parts);
    return AnyQuantity{to_si(read), read.unit.dimension};
}

UnitResult read_unit(std::string_view text) {
    return read_unit_at(text, 0);
}

QuantityResult read_in_units(std::string_view text, std::string_view units) {
    const auto unit = read_unit(units);
    if (std::holds_alternative<QuantityFault>(unit)) {
        throw std::invalid_argument(fmt::format("the unit \"{}\" is not known", units));
    }
    const auto& kept = std::get<ReadUnit>(unit);
    auto result = read_quantity(text, kept.dimension);
    if (double* value = std::get_if<double>(&result)) {
        *value = (*value - kept.offset) * kept.denominator / kept.numerator;
    }
    return result;
}

}  // namespace damper
