// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/finding.hpp"
#include "libdamper/numerics/resample.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <vector>

namespace damper {

/// The recording at equal steps, from its first usable instant on, which is time 0 [rad/s, rad/s²].
/// Left to itself the cut-off is ten times the firing frequency at the mean speed, or what the
/// spacing of the recording allows if that is less.
/// Throws ModelError in words for the reader if the recording will not do.
[[nodiscard]] Resampled motion_of(const RecordedSpeed& recorded, const Engine& engine);

/// Gives a run without a length that of its recording. Throws ModelError likewise.
void take_length(RecordedSpeed& recorded, const Engine& engine);

/// What is wrong with a recording, as findings about the manoeuvre's keys.
void check_recording(const RecordedSpeed& recorded, const Engine& engine,
                     std::vector<Finding>& findings);

}  // namespace damper
