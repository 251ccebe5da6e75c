// SPDX-License-Identifier: MIT
#include "libdamper/fit/loop_shape.hpp"

#include <fmt/format.h>

namespace damper {

double LoopShape::drive_end(std::size_t stage) const {
    double end = 0.0;
    for (std::size_t s = 0; s <= stage; ++s) end += stages[s].drive_width;
    return end;
}

double LoopShape::coast_end(std::size_t stage) const {
    double end = 0.0;
    for (std::size_t s = 0; s <= stage; ++s) end += stages[s].coast_width;
    return end;
}

Disc disc_of(const LoopShape& shape) {
    Disc disc;
    disc.assembly = "lumped";
    disc.flywheel = "any";
    for (std::size_t s = 0; s < shape.stages.size(); ++s) {
        const LoopShape::Stage& from = shape.stages[s];
        DiscStage& stage = disc.stages.emplace_back();
        stage.stiffness = Stiffness::from_si(from.drive_stiffness);
        stage.coast_stiffness = Stiffness::from_si(from.coast_stiffness);
        stage.drive_end = Angle::from_si(shape.drive_end(s));
        stage.coast_end = Angle::from_si(shape.coast_end(s));
        stage.hysteresis = Torque::from_si(from.hysteresis);
        stage.preload = Torque::from_si(from.preload);
        stage.friction_factor = Ratio::from_si(1.0);
    }
    disc.stop_stiffness = Stiffness::from_si(shape.stop_stiffness);
    disc.friction_grip = Ratio::from_si(shape.grip);
    disc.spline_play = Angle::from_si(shape.play);
    return disc;
}

}  // namespace damper
