// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/solvers/exact/stretch_watcher.hpp"
#include "libdamper/solvers/solver.hpp"

namespace damper {

/// Advances a driveline exactly from one mode change to the next.
///
/// Between mode changes the motion is a power series that is carried until nothing is left to
/// add (CoreMotion); smooth laws and torques by crank angle have series of their own beside it
/// (SmoothSeries, TorqueSeries: no mean speed is assumed); inertias that nothing touches move in
/// closed form and cost nothing until they are met (FreeMotion). Guards are polynomials of the same
/// stretch: the first root is walked up to from the safe side, so that none is passed, however
/// close together two of them lie.
///
/// The tolerance of the settings is not used. `largest_step` only cuts the stretches.
///
/// Work is bounded: modes that switch without time passing, or more than a million switches in
/// one millisecond of motion, end the run with `report.complete == false` and a warning that
/// names the element.
[[nodiscard]] TimeOutcome solve_exact(const Driveline& line, const State& start,
                                      const TimeSettings& settings, Sink* sink,
                                      const Progress& progress = {});

/// The same up to an angle of an inertia; `watcher` may be null. Complete when the angle is reached
/// before the end of the settings.
[[nodiscard]] TimeOutcome solve_exact_to(const Driveline& line, const State& start,
                                         const TimeSettings& settings, Sink* sink,
                                         const AngleStop& stop, StretchWatcher* watcher,
                                         const Progress& progress = {});

}  // namespace damper
