// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/quantity/read_quantity.hpp"

#include <optional>
#include <span>
#include <string_view>

namespace damper {

/// Between what a figure of a complaint can be on any road vehicle with a clutch. Wide, so that it
/// catches a lost percent sign, a sign or a unit, and never a bad vehicle. Common practice, no
/// source, where it is not a share of a whole or a magnitude.
struct PossibleValue {
    std::string_view measure;
    std::string_view lowest, highest;  ///< With units.
    std::string_view how = {};         ///< How it is come by, where that is often asked.
};

[[nodiscard]] std::span<const PossibleValue> possible_values();

/// Nothing for a measure of which no bounds are known.
[[nodiscard]] const PossibleValue* possible_value(std::string_view measure);

/// What is wrong with a value of a measure that was read from `text`, as read_in_units() gives it
/// for `units`; nothing if it can be.
[[nodiscard]] std::optional<QuantityFault> impossible(std::string_view measure,
                                                      std::string_view text, double value,
                                                      std::string_view units);

}  // namespace damper
