// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/results/orbit_record.hpp"
#include "libdamper/solvers/orbit/shot_motion.hpp"

namespace damper {

/// A motion found by shooting as a point of the record: one more exact run over its period gives
/// amplitudes by multiples of the first order, swings and rattle ratios, in the order of
/// the signals of find_orbits. Parts of the motion between two such multiples (where it takes
/// several periods to repeat) are in the swings, but have no amplitude of their own.
///
/// Throws ModelError if the run does not end.
[[nodiscard]] OrbitPoint shot_point(const Assembled& assembled, const ShotMotion& shot, int orders);

}  // namespace damper
