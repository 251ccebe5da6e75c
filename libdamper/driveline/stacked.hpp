// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"

#include <cstddef>
#include <span>
#include <vector>

namespace damper {

/// The driveline in one set of modes, as flat coefficients: what a stepping loop touches.
///
/// For each branch the torque is affine in its own twist and rate,
///
///     τ = offset + spring·δ + damping·δ'
///
/// also through a chain of cells in series: with cell torques b_c + k_c·δ_c, all equal to T, and
/// Σ δ_c = δ,
///
///     T = (δ + Σ b_c/k_c) / Σ 1/k_c,     δ_c = (T − b_c)/k_c.
///
/// A cell without stiffness (a spline in its play) dictates T = b and takes what twist the others
/// leave. Guards are carried over to δ and δ' the same way.
class Stacked {
  public:
    struct BranchNow {
        double offset = 0.0;   ///< [N m]
        double spring = 0.0;   ///< [N m/rad]
        double damping = 0.0;  ///< [N m s/rad]
        bool operator==(const BranchNow&) const = default;
    };
    /// Twist of a cell: offset + factor·δ of its branch.
    struct CellNow {
        double offset = 0.0;  ///< [rad]
        double factor = 1.0;
    };
    /// Guard value: offset + twist·δ + rate·δ' of its branch. Fires negative and falling.
    struct GuardNow {
        std::size_t branch = 0;
        std::size_t part = 0;   ///< In the order of State::mode.
        std::size_t index = 0;  ///< Within the part's present mode.
        double offset = 0.0;
        double twist = 0.0;
        double rate = 0.0;
        [[nodiscard]] double at(double delta, double delta_rate) const {
            return offset + twist * delta + rate * delta_rate;
        }
    };
    struct PartPlace {
        std::size_t branch = 0;
        std::size_t cell = 0;  ///< In the order of all cells.
        const Part* part = nullptr;
    };

    /// Keeps a reference: `line` must outlive it. Throws ModelError from check(line).
    explicit Stacked(const Driveline& line);

    /// Takes the modes and memories of `state`.
    void set(const State& state);
    /// The same when only the parts of one branch have changed.
    void set_branch(const State& state, std::size_t branch);

    [[nodiscard]] const Driveline& line() const { return *line_; }
    [[nodiscard]] std::span<const BranchNow> branches() const { return branches_; }
    [[nodiscard]] std::span<const GuardNow> guards(std::size_t branch) const {
        return guards_[branch];
    }
    [[nodiscard]] std::span<const PartPlace> parts() const { return parts_; }
    [[nodiscard]] std::size_t cell_count() const { return cells_.size(); }
    /// Σ factor·reference_speed of a branch: its rate in uniform rotation [rad/s].
    [[nodiscard]] double drift(std::size_t branch) const { return drift_[branch]; }

    /// Turns the uniform rotation on by `turn` seconds for all inertias alike, so that a solver can
    /// keep deviations small (it takes reference_speed·turn off every angle): what a stiff contact
    /// sees is a difference of angles, and the smaller they are the more of its digits are left.
    void turn_on(double turn) { turn_ += turn; }
    /// By how much it has been turned on so far [s].
    [[nodiscard]] double turn() const { return turn_; }

    /// Twist and rate of a branch at time t, uniform rotation included.
    [[nodiscard]] double twist(std::size_t branch, double t, std::span<const double> angle) const;
    [[nodiscard]] double rate(std::size_t branch, std::span<const double> speed) const;
    [[nodiscard]] double torque(std::size_t branch, double delta, double delta_rate) const {
        const BranchNow& now = branches_[branch];
        return now.offset + now.spring * delta + now.damping * delta_rate;
    }
    [[nodiscard]] double cell_twist(std::size_t cell, double delta) const {
        return cells_[cell].offset + cells_[cell].factor * delta;
    }
    [[nodiscard]] double cell_rate(std::size_t cell, double delta_rate) const {
        return cells_[cell].factor * delta_rate;
    }

    /// Energy stored in the parts of a branch [J].
    [[nodiscard]] double stored(std::size_t branch, const State& state, double delta) const;
    /// Power turned into heat in a branch [W].
    [[nodiscard]] double heating(std::size_t branch, const State& state, double delta_rate) const;

    /// What a branch turns into heat in its present modes: constant·δ' + rate·δ'². [N m], [N m
    /// s/rad]
    struct HeatNow {
        double constant = 0.0;
        double rate = 0.0;
    };
    [[nodiscard]] HeatNow heat(std::size_t branch, const State& state) const;

    /// Sends the part of a guard into its next mode and sets its memory; `delta` is the twist of
    /// the branch at that instant. Calls set_branch.
    void fire(const GuardNow& guard, State& state, double delta);

  private:
    struct CellSum {
        double b = 0.0, k = 0.0, c = 0.0;
    };
    [[nodiscard]] CellSum sum_of(std::size_t first_part, const Cell& cell,
                                 const State& state) const;
    void combine(std::size_t branch);
    void place_guards(std::size_t branch, const State& state);

    const Driveline* line_;
    std::vector<BranchNow> branches_;
    std::vector<CellNow> cells_;
    std::vector<std::vector<GuardNow>> guards_;
    std::vector<PartPlace> parts_;
    std::vector<std::size_t> first_part_;  ///< Of each branch, and one past the last.
    std::vector<std::size_t> first_cell_;  ///< Of each branch, and one past the last.
    double turn_ = 0.0;
    std::vector<double> drift_;  ///< Σ factor·reference_speed of each branch.
    std::vector<CellSum> sums_;  ///< Of the branch at hand; kept so as not to allocate.
};

}  // namespace damper
