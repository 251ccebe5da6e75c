// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <string>

namespace damper {

/// Where a result comes from, with the present time and host; without conditions.
[[nodiscard]] RunIdentity identity_of(const Scenario& scenario, const std::string& manoeuvre,
                                      const std::string& command_line);

}  // namespace damper
