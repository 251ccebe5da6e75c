// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"

#include <string>
#include <vector>

namespace damper {

/// One stage of a staged spring in SI numbers; coast side as positive numbers.
struct SpringStage {
    std::string name;
    double drive_stiffness = 0.0, coast_stiffness = 0.0;  ///< [N m/rad]; 0 in a first stage: free
    double drive_end = 0.0, coast_end = 0.0;              ///< Total twist where it ends [rad]
    double preload = 0.0;                                 ///< [N m]
    double friction_limit = 0.0;                          ///< Half its loop's width [N m]
    double friction_grip = 0.0;                           ///< Sticking [N m/rad]
    double friction_play = 0.0;                           ///< [rad]
};

/// A spring of stages that move one after the other, each with its own friction: the damper of a
/// disc, the arc springs of a two-mass flywheel. Only the first stage may be without stiffness.
struct StagedSpring {
    std::string name;  ///< "disc", "two-mass flywheel"
    std::vector<SpringStage> stages;
    double stop_stiffness = 0.0;  ///< [N m/rad]
};

/// Where a stage begins and ends on the skeleton (the mean of loading and unloading).
/// Coast side as positive numbers. Wear and broken springs are included.
struct StageCorners {
    double drive_stiffness = 0.0, coast_stiffness = 0.0;      ///< [N m/rad]
    double drive_start_torque = 0.0, drive_end_torque = 0.0;  ///< [N m]
    double coast_start_torque = 0.0, coast_end_torque = 0.0;  ///< [N m]
    double drive_end = 0.0, coast_end = 0.0;                  ///< Total twist [rad]
    double friction_limit = 0.0;                              ///< Half the hysteresis [N m]
};

/// Corners of every stage from the inside out. Throws ModelError if a stage ends before its
/// preload is overcome.
[[nodiscard]] std::vector<StageCorners> stage_corners(const StagedSpring& spring);

/// One stage as the cell of springs, seats, stops and friction that it becomes. Deflections are
/// those of the cell itself; coast side as positive numbers.
struct StageCell {
    double contact = 0.0;                      ///< Stiffness of seat and stop [N m/rad]
    double drive = 0.0, coast = 0.0;           ///< Stiffness of the springs between them [N m/rad]
    double drive_seat = 0.0, drive_end = 0.0;  ///< Where the springs begin and cease to move [rad]
    double coast_seat = 0.0, coast_end = 0.0;
    double friction_limit = 0.0;  ///< [N m]
    double friction_grip = 0.0;   ///< Stiffness of the sticking washer [N m/rad]
    double friction_play = 0.0;   ///< [rad]
};

/// The cells of staged_cells() as numbers. Throws ModelError as stage_corners() does, or if the
/// stops are softer than the stages.
[[nodiscard]] std::vector<StageCell> stage_cells(const StagedSpring& spring);

/// Stiffness of every seat and stop: in series they make the stop stiffness of the description.
[[nodiscard]] double contact_stiffness(const StagedSpring& spring);

/// The stages as cells in series, one per stage from the inside out.
///
/// Each stage is a spring between two stops beside its own friction washer. Its springs sit in
/// their windows with the torque at which the stage before it ends (plus a preload of its own), so
/// that it does not move before; after its end its stop carries on. In series the stages therefore
/// move one after the other on the way up, and on the way back each keeps its own friction: the
/// outer stage's washer does not touch what happens inside the inner stage.
///
/// Stops and seats have a stiffness of their own. The stage springs are stiffened by just what
/// these contacts give, so that the skeleton of the whole has the slopes and corners of the
/// description exactly; only the preload steps take a narrow angle, preload/stop stiffness.
[[nodiscard]] std::vector<Cell> staged_cells(const StagedSpring& spring);

}  // namespace damper
