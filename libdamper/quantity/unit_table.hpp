// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/quantity/quantity.hpp"

#include <span>
#include <string_view>

namespace damper {

/// One unit that may stand in a description: si = value · factor + offset.
struct Unit {
    std::string_view spelling;
    double factor = 1.0;
    double offset = 0.0;  ///< Only for temperatures that do not start at absolute zero [K].
    Dimension dimension;
    std::string_view origin;  ///< Why the factor is what it is.
};

/// The whole vocabulary. Spellings are unique; capitals matter.
[[nodiscard]] std::span<const Unit> unit_table();

/// How quantities of a dimension are spoken of and written.
struct DimensionName {
    Dimension dimension;
    std::string_view noun;       ///< "a torque per angle"
    std::string_view example;    ///< "18 N m/deg"
    std::string_view preferred;  ///< Unit of the user's habit, "N m/deg"; empty for plain numbers.
    std::string_view si;         ///< Unit in SI as UDUNITS reads it, "N.m/rad".
};

/// All dimensions with a name.
[[nodiscard]] std::span<const DimensionName> dimension_names();

/// The name of a dimension, or null if it has none.
[[nodiscard]] const DimensionName* name_of(const Dimension& dimension);

}  // namespace damper
