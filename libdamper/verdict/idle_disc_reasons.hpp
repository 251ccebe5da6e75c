// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/verdict/reasons.hpp"

namespace damper {

/// What the disc does at idle with the clutch closed: drag or swing past the idle stage, a washer
/// too tight for the stage's springs, swing carried through, no idle stage.
[[nodiscard]] std::vector<Reason> idle_disc_reasons(const RunFacts& facts,
                                                    const Measured& measured);

/// "works on its middle stage for 50 % of the time and on its main stage for 3 %": what lies
/// beyond the first stage, stops with the last one. Empty if the twist never goes there.
[[nodiscard]] std::string work_beyond_first(const RunFacts& facts, const Measured& measured);

}  // namespace damper
