// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/disc.hpp"

#include <vector>

namespace damper {

/// A disc as far as a slow loop shows it. Widths are travels of a stage alone, not total twists.
struct LoopShape {
    struct Stage {
        double drive_stiffness = 0.0, coast_stiffness = 0.0;  ///< [N m/rad]
        double drive_width = 0.0, coast_width = 0.0;          ///< [rad]
        double hysteresis = 0.0;                              ///< Full width [N m]
        double preload = 0.0;                                 ///< [N m]
    };
    std::vector<Stage> stages;    ///< From the inside out
    double stop_stiffness = 0.0;  ///< [N m/rad]
    double grip = 0.0;            ///< Stiffness of a sticking washer over that of its stage
    double play = 0.0;            ///< Of the hub on the shaft [rad]

    /// Total twist at which a stage ends [rad].
    [[nodiscard]] double drive_end(std::size_t stage) const;
    [[nodiscard]] double coast_end(std::size_t stage) const;
};

/// The disc with that loop; what a loop does not show is left at zero.
[[nodiscard]] Disc disc_of(const LoopShape& shape);

/// How far a loop got on each side, in straight pieces: as many as stages or fewer, or one more
/// where the stop was reached. 0: the side was not measured.
struct LoopReach {
    int drive = 0, coast = 0;
    friend bool operator==(const LoopReach&, const LoopReach&) = default;
};

}  // namespace damper
