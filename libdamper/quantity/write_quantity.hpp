// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/quantity/quantity.hpp"

#include <string>

namespace damper {

/// SI value → text in the user's habit: "18 N m/deg", "800 rpm", "80 degC". Dimensions without a
/// name are written in base units.
[[nodiscard]] std::string write_quantity(double si, const Dimension& dimension, int digits = 6);

template <Dimension D>
[[nodiscard]] std::string write_quantity(Quantity<D> quantity, int digits = 6) {
    return write_quantity(quantity.si(), D, digits);
}

/// The shortest text from which read_quantity gives back the very same double. Falls back to the
/// SI unit where the user's unit cannot hold it. `si` must be finite.
[[nodiscard]] std::string write_exact(double si, const Dimension& dimension);

/// Unit of the dimension in SI, readable by UDUNITS and by read_unit: "N.m/rad", "kg.m2", "1".
[[nodiscard]] std::string si_units(const Dimension& dimension);

/// "a torque per angle"; for a dimension without name "something in kg.m2/s2".
[[nodiscard]] std::string spoken(const Dimension& dimension);

}  // namespace damper
