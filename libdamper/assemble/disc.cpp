// SPDX-License-Identifier: MIT
#include "libdamper/assemble/disc.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"

#include <fmt/format.h>

namespace damper {

namespace {

double springs_left(const DiscStage& stage) {
    if (stage.springs == 0) return 1.0;
    return static_cast<double>(stage.springs - stage.springs_broken) / stage.springs;
}

/// Torque at the end of a stage, from the torque and twist at which the one before it ended.
double end_torque(const Disc& disc, const DiscStage& stage, double stiffness, double from_torque,
                  double from_twist, double to_twist) {
    const double step = stage.preload.si();
    const double moving = to_twist - from_twist - step / disc.stop_stiffness.si();
    if (!(moving > 0.0)) {
        throw ModelError(fmt::format("stage \"{}\" of the disc ends before its preload is overcome",
                                     stage.name));
    }
    return from_torque + step + stiffness * moving;
}

/// Own stiffness of a stage's springs, so that with all other stages on their seats or stops the
/// disc has the stiffness of the description.
double own_stiffness(const Disc& disc, double stiffness) {
    const auto others = static_cast<double>(disc.stages.size() - 1);
    const double compliance = 1.0 / stiffness - others / contact_stiffness(disc);
    if (!(compliance > 0.0)) throw ModelError("the stops of the disc are softer than its stages");
    return 1.0 / compliance;
}

Law stage_spring(const StageCell& cell) {
    std::vector<SpringSegment> segments = {{"coast stop", cell.contact},
                                           {"coast side", cell.coast}};
    std::vector<double> corners = {-cell.coast_end, -cell.coast_seat};
    if (cell.drive_seat + cell.coast_seat > 0.0) {
        segments.push_back({"seat", cell.contact});
        corners.push_back(cell.drive_seat);
    }
    segments.push_back({"drive side", cell.drive});
    segments.push_back({"drive stop", cell.contact});
    corners.push_back(cell.drive_end);
    return piecewise_spring(segments, corners);
}

}  // namespace

double contact_stiffness(const Disc& disc) {
    return disc.stop_stiffness.si() * static_cast<double>(disc.stages.size());
}

std::vector<StageCorners> stage_corners(const Disc& disc) {
    std::vector<StageCorners> out;
    StageCorners before;
    for (const DiscStage& stage : disc.stages) {
        StageCorners s;
        const double left = springs_left(stage);
        s.drive_stiffness = left * stage.stiffness.si();
        s.coast_stiffness = stage.coast_stiffness.si() > 0.0 ? left * stage.coast_stiffness.si()
                                                             : s.drive_stiffness;
        s.drive_end = stage.drive_end.si();
        s.coast_end = stage.coast_end.si();
        s.drive_start_torque = before.drive_end_torque + stage.preload.si();
        s.coast_start_torque = before.coast_end_torque + stage.preload.si();
        s.drive_end_torque = end_torque(disc, stage, s.drive_stiffness, before.drive_end_torque,
                                        before.drive_end, s.drive_end);
        s.coast_end_torque = end_torque(disc, stage, s.coast_stiffness, before.coast_end_torque,
                                        before.coast_end, s.coast_end);
        s.friction_limit = 0.5 * stage.hysteresis.si() * stage.friction_factor.si();
        out.push_back(s);
        before = s;
    }
    return out;
}

std::vector<StageCell> stage_cells(const Disc& disc) {
    const std::vector<StageCorners> corners = stage_corners(disc);
    const double contact = contact_stiffness(disc);
    std::vector<StageCell> cells;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const StageCorners& s = corners[i];
        StageCell cell{.contact = contact,
                       .drive = own_stiffness(disc, s.drive_stiffness),
                       .coast = own_stiffness(disc, s.coast_stiffness),
                       .drive_seat = s.drive_start_torque / contact,
                       .coast_seat = s.coast_start_torque / contact,
                       .friction_limit = s.friction_limit,
                       .friction_grip = disc.friction_grip.si() * s.drive_stiffness,
                       .friction_play = disc.stages[i].friction_play.si()};
        cell.drive_end = cell.drive_seat + (s.drive_end_torque - s.drive_start_torque) / cell.drive;
        cell.coast_end = cell.coast_seat + (s.coast_end_torque - s.coast_start_torque) / cell.coast;
        cells.push_back(cell);
    }
    return cells;
}

std::vector<Cell> disc_cells(const Disc& disc) {
    std::vector<Cell> cells;
    for (const StageCell& stage : stage_cells(disc)) {
        const std::string& name = disc.stages[cells.size()].name;
        Cell cell;
        cell.parts.push_back({fmt::format("disc stage {} spring", name), stage_spring(stage)});
        if (stage.friction_limit > 0.0) {
            const Slider washer{.limit = stage.friction_limit,
                                .grip = stage.friction_grip,
                                .play = stage.friction_play};
            cell.parts.push_back({fmt::format("disc stage {} friction", name), slider(washer)});
        }
        cells.push_back(std::move(cell));
    }
    return cells;
}

Cell spline_cell(const Disc& disc) {
    Law play = lash({.gap = disc.spline_play.si(), .stiffness = contact_stiffness(disc)});
    play.counts_impacts = false;  // a shaft's spline, not a tooth: its knocks belong to the disc
    return {{{"hub spline", std::move(play)}}};
}

}  // namespace damper
