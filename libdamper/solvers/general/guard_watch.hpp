// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/stacked.hpp"

#include <functional>
#include <optional>
#include <span>
#include <vector>

namespace damper {

/// A guard that ends its mode, and when.
struct Firing {
    Stacked::GuardNow guard;
    double time = 0.0;  ///< [s]
};

/// Finds the first guard that fires inside a step, on the step's interpolant.
///
/// The step is looked at in a few pieces. A guard fires in a piece when it is negative at its end
/// and was positive before (the root is bracketed and found), or when it was negative from the
/// start and falls. A dip below zero and back inside a piece is caught for guards of the twist
/// alone, whose slope is known at both ends: the cubic through both ends and slopes shows the
/// dip, and the interpolant confirms it.
class GuardWatch {
  public:
    /// Angles and speeds on the interpolant at a time inside the step; [2 n], angles first.
    using Interpolant = std::function<void(double t, std::vector<double>& y)>;

    explicit GuardWatch(const Stacked& stacked) : stacked_(&stacked) {}

    [[nodiscard]] std::optional<Firing> first(double from, double to,
                                              const Interpolant& interpolant);

    /// Called at the end of each piece that was looked at without a firing.
    std::function<void(double t, const std::vector<double>& y)> on_piece;

  private:
    struct Motion {
        double delta = 0.0;
        double rate = 0.0;
    };
    void motion_at(double t, const Interpolant& interpolant, std::vector<Motion>& motion);
    [[nodiscard]] double value(const Stacked::GuardNow& guard, double t,
                               const Interpolant& interpolant);
    [[nodiscard]] std::optional<double> firing_time(const Stacked::GuardNow& guard, double ta,
                                                    double tb, const Interpolant& interpolant);
    [[nodiscard]] double root(const Stacked::GuardNow& guard, double ta, double tb,
                              const Interpolant& interpolant);

    const Stacked* stacked_;
    std::vector<double> y_;
    std::vector<Motion> before_, after_;
};

}  // namespace damper
