// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/modes_record.hpp"

#include <string>

namespace damper {

/// What the trade calls a mode, from where its energy is. Every rule wants at least half of the
/// energy of one kind where its name says; where none holds, the name is empty. In this order,
/// with both sides of the vehicle taken together:
///
///     strain ≥ ½ in the teeth of loose gears          "loose gear 3 on its teeth"
///     strain ≥ ½ in the teeth of the engaged gear      "gear 2 teeth"
///     strain ≥ ½ in the final drive                    "final drive teeth"
///     strain ≥ ½ in the propshaft                      "propshaft"
///     left against right, kinetic ≥ ½ in the wheels    "wheels, left against right"
///     left against right otherwise                     "differential, left against right"
///     engine and vehicle in opposite senses, lowest mode in gear,
///       strain ≥ ½ in half shafts, tyres, propshaft    "shuffle"
///       strain ≥ ½ in the disc                         "shuffle on the disc, idle stage"
///     strain ≥ ½ in the disc, kinetic ≥ ½ in gearbox
///       and hub                                        "input shaft on the disc, main stage"
///     strain ≥ ½ in the disc otherwise                 "engine on the disc, main stage"
///     strain ≥ ½ in half shafts and tyres,
///       kinetic ≥ ½ in wheels and tyres                "wheels on their tyres"
///
/// Names and thresholds: common practice, no source. Shapes of repeated modes are mixtures and get
/// no name.
[[nodiscard]] std::string mode_name(const GearModes& gear, std::size_t mode);

/// What moves the frequency of a mode most: stiffnesses and inertias of the description, both sides
/// of the vehicle together, strongest first; at most `most`, none below a thousandth of the
/// frequency.
[[nodiscard]] std::vector<ModeInfluence> influences_on(const GearModes& gear, std::size_t mode,
                                                       std::size_t most);

}  // namespace damper
