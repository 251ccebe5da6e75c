// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"
#include "libdamper/driveline/stacked.hpp"

#include <cstddef>
#include <vector>

namespace damper {

/// One element twisted so slowly that only springs and friction speak: a bench loop.
///
/// From one twist to the next the torque is affine until a guard falls through zero; the twist at
/// which it does is known exactly, so the loop has no step size. Damping is left out.
class QuasiStatic {
  public:
    /// Starts at zero twist with friction relaxed. Copies `branch`.
    explicit QuasiStatic(const Branch& branch);

    /// Back to rest under `torque` [N m], friction relaxed (see settle()); work counts from here.
    /// Throws ModelError if no part can hold a torque other than 0 at rest.
    void rest(double torque);

    /// Moves to `twist` [rad] and returns the torque there [N m].
    /// Throws SolverError if the modes switch for ever.
    double move_to(double twist);

    /// One straight piece of the way: torque over twist goes linearly from begin to end.
    struct Piece {
        double from_twist = 0.0, to_twist = 0.0;    ///< [rad]
        double from_torque = 0.0, to_torque = 0.0;  ///< [N m]
    };
    /// The same, and appends the pieces of the way to `pieces`.
    double move_to(double twist, std::vector<Piece>& pieces);

    /// ∫ torque d(twist) since the start [J].
    [[nodiscard]] double work() const { return work_; }
    /// Energy stored now [J].
    [[nodiscard]] double stored() const { return stacked_.stored(0, state_, twist_); }
    [[nodiscard]] double torque() const { return stacked_.torque(0, twist_, 0.0); }
    [[nodiscard]] double twist() const { return twist_; }

  private:
    double move(double target, std::vector<Piece>* pieces);
    [[nodiscard]] double next_switch(double target, double sense, const Stacked::GuardNow*& guard);

    Driveline line_;
    Stacked stacked_;
    State state_;
    double twist_ = 0.0;
    double work_ = 0.0;
};

}  // namespace damper
