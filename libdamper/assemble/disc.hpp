// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/staged_spring.hpp"
#include "libdamper/driveline/driveline.hpp"
#include "libdamper/parts/disc.hpp"

#include <vector>

namespace damper {

/// The damper of a disc as the staged spring that it is, wear and broken springs included.
[[nodiscard]] StagedSpring staged_spring(const Disc& disc);

/// Corners of every stage from the inside out. Throws ModelError if a stage ends before its
/// preload is overcome.
[[nodiscard]] std::vector<StageCorners> stage_corners(const Disc& disc);

/// The cells of disc_cells() as numbers. Throws ModelError as stage_corners() does, or if the stops
/// are softer than the stages.
[[nodiscard]] std::vector<StageCell> stage_cells(const Disc& disc);

/// Stiffness of every seat and stop: in series they make the stop stiffness of the description.
[[nodiscard]] double contact_stiffness(const Disc& disc);

/// The disc's damper as cells in series, one per stage from the inside out; see staged_cells().
[[nodiscard]] std::vector<Cell> disc_cells(const Disc& disc);

/// Play between hub and shaft as one more cell. Only if disc.spline_play > 0.
[[nodiscard]] Cell spline_cell(const Disc& disc);

}  // namespace damper
