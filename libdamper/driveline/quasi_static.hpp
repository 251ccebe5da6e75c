// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"
#include "libdamper/driveline/stacked.hpp"

#include <cstddef>

namespace damper {

/// One element twisted so slowly that only springs and friction speak: a bench loop.
///
/// From one twist to the next the torque is affine until a guard falls through zero; the twist at
/// which it does is known exactly, so the loop has no step size. Damping is left out.
class QuasiStatic {
  public:
    /// Starts at zero twist with friction relaxed. Copies `branch`.
    explicit QuasiStatic(const Branch& branch);

    /// Moves to `twist` [rad] and returns the torque there [N m].
    /// Throws SolverError if the modes switch for ever.
    double move_to(double twist);

    /// ∫ torque d(twist) since the start [J].
    [[nodiscard]] double work() const { return work_; }
    /// Energy stored now [J].
    [[nodiscard]] double stored() const { return stacked_.stored(0, state_, twist_); }
    [[nodiscard]] double torque() const { return stacked_.torque(0, twist_, 0.0); }
    [[nodiscard]] double twist() const { return twist_; }

  private:
    [[nodiscard]] double next_switch(double target, double sense, const Stacked::GuardNow*& guard);

    Driveline line_;
    Stacked stacked_;
    State state_;
    double twist_ = 0.0;
    double work_ = 0.0;
};

}  // namespace damper
