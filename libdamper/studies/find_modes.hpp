// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/modes_record.hpp"
#include "libdamper/scenario/scenario.hpp"
#include "libdamper/studies/operating_point.hpp"

#include <optional>
#include <string>
#include <vector>

namespace damper {

/// What `damper modes` is asked for.
struct ModesSettings {
    std::vector<std::string> gears = {};  ///< Empty: neutral and all gears.
    OperatingSettings point = {};         ///< For each of them; its `gear` is not used.
    /// End of the engine's usable range [rad/s]. Left out: that of the vehicle (top_speed_of).
    std::optional<double> highest_speed = {};
    std::string command_line = {};
};

/// Natural modes about the operating points of one or all gears, with names, shares, sensitivities
/// and the engine orders to hold them against: half, first, firing and its multiples.
///
/// Of a take-up there are also the modes while its clutch slips, if its gear is among them.
///
/// With several gears a torque or stage asked for holds for each of them, and neutral keeps the
/// torque of idling. Throws InputError as operating_point does, and for a highest speed below the
/// idle speed.
[[nodiscard]] ModesRecord find_modes(const Scenario& scenario, const ModesSettings& settings = {});

}  // namespace damper
