// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/clutch/release.hpp"

namespace damper {

/// An invented spring of car size.
[[nodiscard]] inline DiaphragmSpring some_spring() {
    return {.outer = 0.112,
            .inner = 0.088,
            .outer_circle = 0.1105,
            .inner_circle = 0.0895,
            .thickness = 2.65e-3,
            .cone_height = 4.7e-3,
            .modulus = 206e9,
            .poisson = 0.3};
}

/// The same on a disc with a cushion, push type, cover and fingers with some give.
[[nodiscard]] inline ClampedCover some_cover() {
    ClampedCover cover;
    cover.spring = some_spring();
    cover.cushion = Cushion({0.3e-3, 0.6e-3, 0.8e-3}, {750.0, 3200.0, 6200.0}, 1);
    cover.deflection = 3.62e-3;
    cover.lever = lever_ratio(0.025, 0.0895, 0.1105);
    cover.give = 5e-7;
    return cover;
}

}  // namespace damper
