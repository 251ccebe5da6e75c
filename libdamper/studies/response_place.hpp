// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/solvers/response/transfer.hpp"

#include <string>
#include <vector>

namespace damper {

/// A place of the driveline by the words of a command line.
struct NamedPlace {
    std::string name;             ///< Key: "flywheel_speed".
    std::string label;            ///< "speed of the flywheel"
    std::string units;            ///< Per N m, UDUNITS: "(rad/s)/(N.m)".
    std::vector<Pickup> pickups;  ///< Their amplitudes add up: both drive shafts.
};

/// Names that may be asked for: of all inertias and elements, and "flywheel", "gearbox input",
/// "drive shafts" for what the trade calls so.
[[nodiscard]] std::vector<std::string> place_names(const Assembled& assembled);

/// Inertia on which a torque may act: its name, or "engine torque". Throws InputError with the
/// nearest name.
[[nodiscard]] int inertia_called(const Assembled& assembled, const std::string& name);

/// `quantity` is "speed", "acceleration", "angle", "torque", or empty: speed of an inertia, torque
/// of an element. Angle and speed of an element are those of its twist. Throws InputError with the
/// nearest name, and where the place has no such quantity.
[[nodiscard]] NamedPlace place_called(const Assembled& assembled, const std::string& name,
                                      const std::string& quantity);

}  // namespace damper
