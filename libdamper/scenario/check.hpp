// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/finding.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <vector>

namespace damper {

/// Rules between the manoeuvre, the vehicle and the recording. The vehicle's parts are checked on
/// their own. Findings name the key inside the scenario and have no place.
[[nodiscard]] std::vector<Finding> check(const Scenario& scenario);

/// "idle", "tip in" or "back out".
[[nodiscard]] std::string kind_of(const Manoeuvre& manoeuvre);

}  // namespace damper
