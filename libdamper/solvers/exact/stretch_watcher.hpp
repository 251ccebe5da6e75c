// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/stacked.hpp"

#include <cstddef>
#include <span>

namespace damper {

/// Looks on while the exact solver runs: for those who follow what neighbouring motions do
/// (Variation). Everything handed over is the solver's own and valid during the call only.
class StretchWatcher {
  public:
    /// The line is about to move, or has moved, in one set of modes.
    struct Move {
        const Stacked& stacked;
        const State& state;     ///< Modes and memories only.
        double duration = 0.0;  ///< [s]
        double from = 0.0;      ///< Where in the solver's stretch the move began, 0…1.
        double length = 0.0;    ///< Of that stretch [s].
        /// Of each input: slope of its torque over the angle of its inertia, as a power series over
        /// the stretch; empty if the torque does not depend on the angle [N m/rad].
        std::span<const std::span<const double>> input_slope;
    };
    /// A mode change, at the instant before or after it.
    struct Instant {
        const Stacked& stacked;
        const State& state;         ///< Modes and memories only.
        Stacked::GuardNow guard;    ///< That fires, as it stood before.
        double delta = 0.0;         ///< Twist of its branch [rad],
        double rate = 0.0;          ///< its rate [rad/s]
        double acceleration = 0.0;  ///< and, before the change, its acceleration [rad/s²].
        double torque = 0.0;        ///< Of the branch [N m].
    };

    virtual ~StretchWatcher() = default;
    virtual void moved(const Move& move) = 0;
    virtual void before_switch(const Instant& instant) = 0;
    virtual void after_switch(const Instant& instant) = 0;
};

/// Ends a run when an inertia has reached an angle.
struct AngleStop {
    std::size_t inertia = 0;
    double angle = 0.0;  ///< Total, uniform rotation included [rad]; ahead of the start.
};

}  // namespace damper
