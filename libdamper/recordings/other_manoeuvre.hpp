// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/recordings/recording.hpp"
#include "libdamper/recordings/recording_findings.hpp"
#include "libdamper/recordings/shaft_motion.hpp"

#include <cstddef>
#include <vector>

namespace damper {

/// Speeds of a table as they are: they may stand. `index` of the recording.
[[nodiscard]] std::vector<ShaftMotion> as_recorded(const WorkshopRecording& recording,
                                                   std::size_t index);

/// Notes, about "take-up" or "torque-change", that what is read as running looks like a start from
/// rest or like a change of load. `shafts` are the motions that were found in the recordings.
void note_other_manoeuvre(const std::vector<WorkshopRecording>& recordings,
                          const std::vector<ShaftMotion>& shafts,
                          std::vector<RecordingFindings>& findings);

}  // namespace damper
