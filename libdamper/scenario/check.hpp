// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/finding.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// Rules between the manoeuvre, the vehicle and the recording. The vehicle's parts are checked on
/// their own. Findings name the key inside the scenario and have no place.
[[nodiscard]] std::vector<Finding> check(const Scenario& scenario);

/// What a description calls each kind of manoeuvre, in the order of the variant's alternatives.
[[nodiscard]] std::span<const std::string_view> manoeuvre_kinds();

/// The one of these that it is.
[[nodiscard]] std::string kind_of(const Manoeuvre& manoeuvre);

}  // namespace damper
