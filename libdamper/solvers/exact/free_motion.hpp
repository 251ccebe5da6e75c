// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <span>

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

    struct Now {
        double angle = 0.0, speed = 0.0, acceleration = 0.0;
    };
    /// At any time, before or after `time`.
    [[nodiscard]] Now at(double t) const;

    /// Makes t the new `time`.
    void advance(double t);

    /// Adds factor·θ(t0 + s·h) as a series in s, as far as terms count, to `out`.
    void add_series(double t0, double h, double factor, std::span<double> out) const;
};

}  // namespace damper
