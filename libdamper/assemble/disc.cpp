// SPDX-License-Identifier: MIT
#include "libdamper/assemble/disc.hpp"

#include "libdamper/elements/lash.hpp"

#include <utility>

namespace damper {

namespace {

double springs_left(const DiscStage& stage) {
    if (stage.springs == 0) return 1.0;
    return static_cast<double>(stage.springs - stage.springs_broken) / stage.springs;
}

}  // namespace

StagedSpring staged_spring(const Disc& disc) {
    StagedSpring out{.name = "disc", .stages = {}, .stop_stiffness = disc.stop_stiffness.si()};
    for (const DiscStage& stage : disc.stages) {
        const double left = springs_left(stage);
        SpringStage s{.name = stage.name,
                      .drive_stiffness = left * stage.stiffness.si(),
                      .drive_end = stage.drive_end.si(),
                      .coast_end = stage.coast_end.si(),
                      .preload = stage.preload.si(),
                      .friction_limit = 0.5 * stage.hysteresis.si() * stage.friction_factor.si(),
                      .friction_play = stage.friction_play.si()};
        s.coast_stiffness = stage.coast_stiffness.si() > 0.0 ? left * stage.coast_stiffness.si()
                                                             : s.drive_stiffness;
        s.friction_grip = disc.friction_grip.si() * s.drive_stiffness;
        out.stages.push_back(std::move(s));
    }
    return out;
}

std::vector<StageCorners> stage_corners(const Disc& disc) {
    return stage_corners(staged_spring(disc));
}

std::vector<StageCell> stage_cells(const Disc& disc) {
    return stage_cells(staged_spring(disc));
}

double contact_stiffness(const Disc& disc) {
    return contact_stiffness(staged_spring(disc));
}

std::vector<Cell> disc_cells(const Disc& disc) {
    return staged_cells(staged_spring(disc));
}

Cell spline_cell(const Disc& disc) {
    Law play = lash({.gap = disc.spline_play.si(), .stiffness = contact_stiffness(disc)});
    play.counts_impacts = false;  // a shaft's spline, not a tooth: its knocks belong to the disc
    return {{{"hub spline", std::move(play)}}};
}

}  // namespace damper
