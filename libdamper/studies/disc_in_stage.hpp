// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/disc.hpp"
#include "libdamper/results/response_record.hpp"
#include "libdamper/studies/operating_point.hpp"

#include <vector>

namespace damper {

/// A driveline with one stage of the disc moving, in the middle of its torque range; everything
/// else as at the operating point.
struct DiscInStage {
    StageIsolation told;  ///< Stage, side, torque and stiffness.
    Linearised slips, sticks;
};

/// Every stage, drive side and coast side, from the inside out.
[[nodiscard]] std::vector<DiscInStage> disc_in_stages(const Disc& disc,
                                                      const OperatingPoint& point);

/// The one element that is the disc, as index of a branch; −1 if it is several in series with
/// inertia between them.
[[nodiscard]] int single_disc(const OperatingPoint& point);

/// The element whose swing is followed, as index of a branch: a two-mass flywheel, which softens
/// what comes to the disc behind it, else the single disc.
[[nodiscard]] int swinging_element(const OperatingPoint& point);

}  // namespace damper
