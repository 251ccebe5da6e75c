// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>

namespace damper {

/// "39 rpm" from rad/s, "6.0°" from rad, "80 °C" from K, "61 %" from a
/// share, "5.2 N m".
[[nodiscard]] std::string as_rpm(double speed);
[[nodiscard]] std::string as_degrees(double angle);
[[nodiscard]] std::string as_celsius(double temperature);
[[nodiscard]] std::string as_percent(double share);
[[nodiscard]] std::string as_torque(double torque);

/// A number with three significant digits and no exponent: "0.0042", "1.89", "701".
[[nodiscard]] std::string as_number(double value);

/// How many times as much, two digits after the point: "1.00 times", "0.46 times".
[[nodiscard]] std::string as_ratio(double ratio);

/// How often: "once", "twice", "3 times".
[[nodiscard]] std::string as_times(double count);

/// What a measure is called in a sentence: "acceleration of the input shaft at the firing order".
/// A measure without words of its own keeps its key, with spaces.
[[nodiscard]] std::string words_of(std::string_view measure);

/// The value of a measure in the units of a workshop: "1.3°", "45 mW", "1.2 m/s²".
[[nodiscard]] std::string show(std::string_view measure, std::string_view units, double value);

/// Engine order: "2", "½", "1½".
[[nodiscard]] std::string order_words(double order);

/// "main" → "main stage"; "stage 2" and names that end in "stage" stay.
[[nodiscard]] std::string stage_words(std::string_view name);

/// "gear 3 loose" → "loose gear 3"; other names stay.
[[nodiscard]] std::string gear_words(std::string_view element);

/// First letter as a capital.
[[nodiscard]] std::string capital(std::string text);

}  // namespace damper
