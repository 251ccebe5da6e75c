// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/scenario/scenario.hpp"

#include <string>

namespace damper {

/// Key of a scenario that says the same as a figure of the gauges which is no sign but the state of
/// the run: consumers, idle speed, mass as driven, lowest speed under load. A run is put there
/// before anything is compared. Empty for every other figure, and where the manoeuvre has no such
/// state. The other way round from gauge_figures().
[[nodiscard]] std::string key_of_state(const std::string& measure, const Scenario& scenario);

}  // namespace damper
