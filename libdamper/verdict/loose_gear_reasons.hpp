// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/verdict/reasons.hpp"

namespace damper {

/// Many impacts are bad only if they are not soft: at or below this closing speed [rad/s], root
/// mean square, they are something to watch at most. Working band of this tool; common practice,
/// no source.
inline constexpr double soft_closing = 0.3;

/// What the loose gears do at idle with the clutch closed: how often they strike and how hard, and
/// which of them lift off.
[[nodiscard]] std::vector<Reason> loose_gear_reasons(const RunFacts& facts,
                                                     const Measured& measured);

/// With the clutch open: whether the loose gears rest.
[[nodiscard]] Reason open_clutch(const RunFacts& facts, const Measured& measured);

}  // namespace damper
