// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/stacked.hpp"
#include "libdamper/solvers/general/equations.hpp"
#include "libdamper/solvers/general/step.hpp"

#include <array>
#include <limits>
#include <optional>
#include <vector>

namespace damper {

/// A guard that ends its mode, and when.
struct Firing {
    Stacked::GuardNow guard;
    double time = 0.0;  ///< [s]
};

/// Finds the first guard that fires inside a step, on the step's interpolant.
///
/// Most guards are far from zero: how far a branch can get inside the step is bounded by its rates
/// and accelerations in the stages, of which the interpolant is a weighted sum. Only branches with
/// a guard that this bound does not clear are looked at.
///
/// Those are looked at in a few pieces. A guard fires in a piece when it is negative at its end
/// and was positive before (the root is bracketed and found), or when it was negative from the
/// start and falls. A dip below zero and back inside a piece is caught for guards of the twist
/// alone, whose slope is known at both ends: the cubic through both ends and slopes shows the
/// dip, and the interpolant confirms it.
class GuardWatch {
  public:
    /// Keeps a reference; `stacked` must have its modes.
    explicit GuardWatch(const Stacked& stacked);

    /// Takes over the guards of a branch after its mode has changed.
    void refresh(std::size_t branch);

    [[nodiscard]] std::optional<Firing> first(const Step& step, const Equations& equations);

  private:
    static constexpr std::size_t pieces = 3;  // looks per step

    /// Where no guard of a branch can be negative: a range of its twist and one of its rate, and
    /// guards of both on top.
    struct Clear {
        double twist_above = 0.0, twist_below = 0.0;
        double rate_above = 0.0, rate_below = 0.0;
        bool mixed = false;
    };
    /// Twist and rate of a branch over a step whose length is 1: polynomials of fifth degree, as
    /// the interpolant is, as cubics between the ends and x²·(1 − x)²·(bend + twirl·x).
    struct Course {
        double value = 0.0, slope = 0.0, square = 0.0, cube = 0.0, bend = 0.0, twirl = 0.0;
        [[nodiscard]] double at(double x) const {
            const double between = x * (1.0 - x);
            return value + x * (slope + x * (square + x * cube)) +
                   between * between * (bend + twirl * x);
        }
    };
    struct Motion {
        double delta = 0.0;
        double rate = 0.0;
    };
    struct Looked {
        std::size_t branch = 0;
        Course delta, rate;
        std::array<Motion, pieces + 1> motion;  ///< At the ends of the pieces.
    };

    [[nodiscard]] bool is_clear(std::size_t branch, const Motion& start, double reach,
                                double rate_reach) const;
    void look_at_near_ones(const Step& step, const Equations& equations);
    [[nodiscard]] double slope_along(std::size_t branch, const double* values) const;
    [[nodiscard]] static double value(const Stacked::GuardNow& guard, const Looked& looked,
                                      double x);
    [[nodiscard]] static std::optional<double> firing(const Stacked::GuardNow& guard,
                                                      const Looked& looked, std::size_t piece,
                                                      double length);
    [[nodiscard]] static double root(const Stacked::GuardNow& guard, const Looked& looked,
                                     double xa, double xb);

    const Stacked* stacked_;
    std::vector<Clear> clear_;
    std::vector<Looked> near_;  ///< Those that must be looked at in the present step.
    std::vector<double> y_, rate_top_;
};

}  // namespace damper
