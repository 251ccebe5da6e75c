// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/stacked.hpp"

#include <cstddef>
#include <span>
#include <vector>

namespace damper {

/// An inertia that nothing is coupled to: constant torques and its own drag, in closed form.
///
///     ω' = f − λ·ω      (deviations; f and λ hold the uniform rotation's share)
///
/// It needs no step: it is moved when somebody asks where it is.
struct FreeMotion {
    double time = 0.0;   ///< [s]
    double angle = 0.0;  ///< Deviation [rad]
    double speed = 0.0;  ///< Deviation [rad/s]
    double push = 0.0;   ///< f [rad/s²]
    double decay = 0.0;  ///< λ [1/s], ≥ 0

    [[nodiscard]] double angle_at(double t) const;
    [[nodiscard]] double speed_at(double t) const;
    [[nodiscard]] double acceleration_at(double t) const { return push - decay * speed_at(t); }
    /// Moves it there.
    void advance(double t);
    /// Series of its angle over a step of length h [s] from its present time, order by order.
    void series(double h, std::span<double> theta) const;
};

}  // namespace damper
