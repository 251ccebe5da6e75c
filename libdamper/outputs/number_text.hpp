// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>

namespace damper {

/// How a quantity kept in SI is shown to a workshop.
struct Shown {
    double factor = 1.0;  ///< Shown value = factor · SI value + offset.
    std::string units;    ///< "rpm", "°", "N m"; empty for a plain number.
    double offset = 0.0;  ///< Of temperatures.
    [[nodiscard]] double of(double si) const { return factor * si + offset; }
};

/// What a workshop reads instead of an SI unit: degrees for radians, rpm for rad/s, and so on.
/// Watts and joules become milli below 0.1; `magnitude` is the largest value that will stand
/// beside the unit. Units that are not known pass unchanged.
[[nodiscard]] Shown shown_as(std::string_view units, double magnitude = 1.0);

/// The unit as the heading or column of a table has it: "1/s" where a sentence says "per second".
[[nodiscard]] std::string table_units(const Shown& shown);

/// Four significant digits, without an exponent from 0.0001 to 10 million; "–" if not finite.
[[nodiscard]] std::string number_text(double value);

/// The same for a measure by its name: the dose of vibration has a unit that no file can hold,
/// metre per second to the power 1.75.
[[nodiscard]] Shown measure_shown_as(std::string_view measure, std::string_view units,
                                     double magnitude = 1.0);

/// A number for a table, at most eight columns wide: four significant digits, two below 0.01.
/// What is less than a ten-thousandth of `scale`, the figure it is held against, is no more than
/// "< 0.001", so that rounding is not read as a value.
[[nodiscard]] std::string table_number(double value, double scale = 0.0);

/// Number and unit of an SI value as a workshop reads it: "820 rpm".
[[nodiscard]] std::string quantity_text(double value, std::string_view units);

/// A number that is already text, with the unit that is shown behind it.
[[nodiscard]] std::string with_units(std::string number, std::string_view units);

/// A share of the whole as "12.5 %".
[[nodiscard]] std::string percent_text(double share);

/// A key as words: "impact_energy_rate" → "Impact energy rate".
[[nodiscard]] std::string key_text(std::string_view key);

}  // namespace damper
