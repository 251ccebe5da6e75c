// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/solvers/solver.hpp"

namespace damper {

/// Integrates any driveline in time: explicit Runge–Kutta 5(4) with dense output (Boost.Odeint),
/// stopped and started anew at every change of mode. The reference inside the project.
///
/// A step that a guard ends is taken again with exactly the length up to the guard, so that the
/// state at a switch has the accuracy of a step and not of an interpolant. Kinks of inputs are
/// stepped onto.
///
/// Errors are held below tolerance × the largest speed deviation met (angles: the same per
/// 1000 rad/s). Peak torques of impacts are read a few times per step; closing speed, impulse and
/// energy belong to the switch itself.
///
/// Does not throw for what happens during the run: a step that cannot go on, a number that is no
/// longer finite or modes that switch for ever end the run with `report.complete == false` and a
/// warning that says when and where. Throws ModelError if the driveline or a setting is
/// impossible.
[[nodiscard]] TimeOutcome solve_general(const Driveline& line, const State& start,
                                        const TimeSettings& settings, Sink* sink,
                                        const Progress& progress = {});

}  // namespace damper
