// SPDX-License-Identifier: MIT
#include "libdamper/assemble/staged_spring.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"

#include <fmt/format.h>

namespace damper {

namespace {

/// Torque at the end of a stage, from the torque and twist at which the one before it ended.
double end_torque(const StagedSpring& spring, const SpringStage& stage, double stiffness,
                  double from_torque, double from_twist, double to_twist) {
    const double step = stage.preload;
    const double moving = to_twist - from_twist - step / spring.stop_stiffness;
    if (!(moving > 0.0)) {
        throw ModelError(fmt::format("stage \"{}\" of the {} ends before its preload is overcome",
                                     stage.name, spring.name));
    }
    return from_torque + step + stiffness * moving;
}

/// Own stiffness of a stage's springs, so that with all other stages on their seats or stops the
/// whole has the stiffness of the description.
double own_stiffness(const StagedSpring& spring, double stiffness) {
    if (stiffness == 0.0) return 0.0;
    const auto others = static_cast<double>(spring.stages.size() - 1);
    const double compliance = 1.0 / stiffness - others / contact_stiffness(spring);
    if (!(compliance > 0.0)) {
        throw ModelError(
            fmt::format("the stops of the {} are softer than its stages", spring.name));
    }
    return 1.0 / compliance;
}

Law stage_spring(const StageCell& cell) {
    std::vector<SpringSegment> segments = {{"coast stop", cell.contact}};
    std::vector<double> corners = {-cell.coast_end};
    if (cell.drive == 0.0 && cell.coast == 0.0) {
        segments.push_back({"free", 0.0});
    } else {
        segments.push_back({"coast side", cell.coast});
        corners.push_back(-cell.coast_seat);
        if (cell.drive_seat + cell.coast_seat > 0.0) {
            segments.push_back({"seat", cell.contact});
            corners.push_back(cell.drive_seat);
        }
        segments.push_back({"drive side", cell.drive});
    }
    segments.push_back({"drive stop", cell.contact});
    corners.push_back(cell.drive_end);
    return piecewise_spring(segments, corners);
}

}  // namespace

double contact_stiffness(const StagedSpring& spring) {
    return spring.stop_stiffness * static_cast<double>(spring.stages.size());
}

std::vector<StageCorners> stage_corners(const StagedSpring& spring) {
    std::vector<StageCorners> out;
    StageCorners before;
    for (const SpringStage& stage : spring.stages) {
        StageCorners s;
        s.drive_stiffness = stage.drive_stiffness;
        s.coast_stiffness = stage.coast_stiffness;
        s.drive_end = stage.drive_end;
        s.coast_end = stage.coast_end;
        s.drive_start_torque = before.drive_end_torque + stage.preload;
        s.coast_start_torque = before.coast_end_torque + stage.preload;
        s.drive_end_torque = end_torque(spring, stage, s.drive_stiffness, before.drive_end_torque,
                                        before.drive_end, s.drive_end);
        s.coast_end_torque = end_torque(spring, stage, s.coast_stiffness, before.coast_end_torque,
                                        before.coast_end, s.coast_end);
        s.friction_limit = stage.friction_limit;
        out.push_back(s);
        before = s;
    }
    return out;
}

std::vector<StageCell> stage_cells(const StagedSpring& spring) {
    const std::vector<StageCorners> corners = stage_corners(spring);
    const double contact = contact_stiffness(spring);
    std::vector<StageCell> cells;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const StageCorners& s = corners[i];
        StageCell cell{.contact = contact,
                       .drive = own_stiffness(spring, s.drive_stiffness),
                       .coast = own_stiffness(spring, s.coast_stiffness),
                       .drive_seat = s.drive_start_torque / contact,
                       .coast_seat = s.coast_start_torque / contact,
                       .friction_limit = s.friction_limit,
                       .friction_grip = spring.stages[i].friction_grip,
                       .friction_play = spring.stages[i].friction_play};
        // A free stage has its whole travel to itself: no other gives without a torque.
        const auto end = [](double seat, double torque, double stiffness, double travel) {
            return stiffness == 0.0 ? travel : seat + torque / stiffness;
        };
        cell.drive_end = end(cell.drive_seat, s.drive_end_torque - s.drive_start_torque, cell.drive,
                             s.drive_end);
        cell.coast_end = end(cell.coast_seat, s.coast_end_torque - s.coast_start_torque, cell.coast,
                             s.coast_end);
        cells.push_back(cell);
    }
    return cells;
}

std::vector<Cell> staged_cells(const StagedSpring& spring) {
    std::vector<Cell> cells;
    for (const StageCell& stage : stage_cells(spring)) {
        const std::string& name = spring.stages[cells.size()].name;
        Cell cell;
        cell.parts.push_back(
            {fmt::format("{} stage {} spring", spring.name, name), stage_spring(stage)});
        if (stage.friction_limit > 0.0) {
            const Slider washer{.limit = stage.friction_limit,
                                .grip = stage.friction_grip,
                                .play = stage.friction_play};
            cell.parts.push_back(
                {fmt::format("{} stage {} friction", spring.name, name), slider(washer)});
        }
        cells.push_back(std::move(cell));
    }
    return cells;
}

}  // namespace damper
