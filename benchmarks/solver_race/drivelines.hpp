// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/scenario/scenario.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace damper::benchmarks {

/// An idling driveline that the solvers are timed on.
struct RaceCase {
    std::string name;       ///< "car, firm idle stage, 10 gears"
    std::string family;     ///< The name without the gears: what belongs to one row of gear counts.
    std::size_t gears = 0;  ///< Loose gears that turn in neutral.
    bool as_shipped = true;  ///< The gearbox is the one of the model files.
    Scenario scenario;
};

/// A scenario of the folder `scenarios`, with another disc if one is named.
[[nodiscard]] Scenario shipped_scenario(const std::string& name, const std::string& disc = "");

/// The same with a gearbox of `count` gears that all turn loose in neutral: those of the model
/// file first, then the same again with ratio, inertia, play and drag a little different. Gears
/// that were added are invented; no gearbox with them exists.
[[nodiscard]] Scenario with_loose_gears(Scenario scenario, std::size_t count);

/// The drivelines of the race.
[[nodiscard]] std::vector<RaceCase> race_cases();

}  // namespace damper::benchmarks
