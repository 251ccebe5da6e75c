// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/quantity/quantity.hpp"

#include <string>
#include <string_view>
#include <variant>

namespace damper {

/// What is wrong with the text of a quantity, in the words of a Finding.
struct QuantityFault {
    int column = 1;     ///< Where in the text, counted in characters from 1.
    std::string found;  ///< Quotes the text.
    std::string expected;
    std::string mend;  ///< May be empty.
};

/// A unit as read: si = value · numerator / denominator + offset.
struct ReadUnit {
    double numerator = 1.0;
    double denominator = 1.0;
    double offset = 0.0;
    Dimension dimension;
};

using QuantityResult = std::variant<double, QuantityFault>;
using UnitResult = std::variant<ReadUnit, QuantityFault>;

/// Text → SI value of the dimension that is due, or what is wrong with the text.
///
///     quantity = number [blank] unit            number = [sign] digits [. digits] [e exponent]
///     unit     = factors [ / factor ]           factor = name [power], power = ^2, 2, ² or -1
///     factors  = factor { joint factor }        joint  = blank . * ·
///
/// Names are those of unit_table(). Plain numbers need no unit; every other dimension does.
[[nodiscard]] QuantityResult read_quantity(std::string_view text, const Dimension& due);

/// Text of a quantity of whatever dimension its unit says. A number without unit is a plain number.
struct AnyQuantity {
    double si = 0.0;
    Dimension dimension;
};
[[nodiscard]] std::variant<AnyQuantity, QuantityFault> read_any_quantity(std::string_view text);

/// A unit alone: "N m/deg", or as files of results spell it: "N.m.s.rad-1". Empty is a plain
/// number.
[[nodiscard]] UnitResult read_unit(std::string_view text);

/// A bound for a value that is kept in `units` (as results spell them): "60 rpm" for "rad/s" is
/// 6.283…, for "rpm" 60. Throws std::invalid_argument if `units` itself cannot be read.
[[nodiscard]] QuantityResult read_in_units(std::string_view text, std::string_view units);

/// What is wrong with a quantity of dimension `is` where `due` was expected.
[[nodiscard]] QuantityFault wrong_dimension(std::string_view text, const Dimension& is,
                                            const Dimension& due);

}  // namespace damper
