// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/measures/facts.hpp"
#include "libdamper/scenario/scenario.hpp"

namespace damper {

/// What the measures must know of a run, from its description and its solved start.
[[nodiscard]] RunFacts facts_of(const Scenario& scenario, const Assembled& assembled,
                                const SteadyState& start);

}  // namespace damper
