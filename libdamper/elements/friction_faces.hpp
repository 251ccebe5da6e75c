// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace damper {

/// A curve through points by rising place, straight between them and constant outside.
struct Polyline {
    std::vector<double> at;     ///< Rising; at least one.
    std::vector<double> value;  ///< As many.

    [[nodiscard]] double operator()(double place) const;
    /// Number of the piece that `place` lies in: 0 before the first point, size() behind the last.
    [[nodiscard]] std::size_t piece_of(double place) const;
    /// The straight line of a piece: value at `place` and slope.
    struct Line {
        double value = 0.0;
        double slope = 0.0;
    };
    [[nodiscard]] Line line_of(std::size_t piece, double place) const;
};

/// What faces that rub on each other do.
enum class Rubbing { sticking = 0, slipping_up = 1, slipping_down = 2 };

/// Faces pressed on each other by a load that changes: a clutch, a brake, a wheel that rests.
///
///     slipping  τ = ±L(t, v),  L = lever·μ(v)·F(t)·m,  v = radius·|δ'|
///     sticking  δ' = 0; τ is what the rest of the driveline asks for, while |τ| ≤ stiction·L(t, 0)
///
/// τ opposes the rate δ' [rad/s] of the element. m ≥ 0 is a modulation by angles, 1 without one.
/// Sticking is a constraint and no stiff spring: the faces move as one, so that there is nothing to
/// chatter, and slip ends when the rate comes to zero. Only what is slipped away becomes heat.
///
/// With z faces on the mean radius R, lever = z·R and radius = R make a clutch; lever = radius = 1
/// makes friction whose limit is F itself.
/// Source of τ = z·μ·F·R: V. B. Bhandari, Design of Machine Elements, chapter 11.
struct FrictionFaces {
    double lever = 1.0;     ///< Torque over friction force [m], > 0
    double radius = 1.0;    ///< Slip speed over rate [m], > 0
    Polyline friction;      ///< μ over slip speed [m/s], from 0 on, ≥ 0
    double stiction = 1.0;  ///< Holding friction over that at vanishing slip, ≥ 1
    Polyline load;          ///< F over time [s], ≥ 0 [N]
    /// A brake that keeps from moving back besides: added to what stuck faces hold against a
    /// negative rate, and to what they rub with [N m], ≥ 0
    double backstop = 0.0;
};

/// L at a time, a slip speed v [m/s] and a modulation [N m].
[[nodiscard]] double limit(const FrictionFaces& faces, double time, double speed,
                           double modulation = 1.0);
/// What stuck faces hold, in the sense of a positive torque [N m].
[[nodiscard]] double holds_up(const FrictionFaces& faces, double time, double modulation = 1.0);
/// What they hold the other way, a positive number [N m].
[[nodiscard]] double holds_down(const FrictionFaces& faces, double time, double modulation = 1.0);
/// τ of slipping faces at a rate [N m]. At a rate against the sense of `mode`, which a solver meets
/// on its way to the end of slip, the law goes on as it was.
[[nodiscard]] double slip_torque(const FrictionFaces& faces, Rubbing mode, double time, double rate,
                                 double modulation = 1.0);
/// dτ/dδ' of slipping faces at a rate > 0 [N m s/rad]; negative where friction falls with slip.
[[nodiscard]] double slip_damping(const FrictionFaces& faces, double time, double rate);

/// Throws ModelError if a value is out of its range or not finite.
void check(const FrictionFaces& faces);

/// "sticking", "slipping up", "slipping down", as numbered in Rubbing.
[[nodiscard]] const std::vector<std::string>& rubbing_names();

/// Name and SI value of each parameter; of curves each point.
[[nodiscard]] std::vector<std::pair<std::string, double>> parameters(const FrictionFaces& faces);

}  // namespace damper
