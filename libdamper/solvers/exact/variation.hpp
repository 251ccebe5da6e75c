// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/solvers/exact/stretch_watcher.hpp"

#include <Eigen/Dense>
#include <cstddef>
#include <vector>

namespace damper {

struct Kernel;

/// How neighbouring motions run beside an exact one: the derivative of angles, speeds and memories
/// with respect to as many directions as there are columns.
///
/// Between mode changes the variational equations are linear with the slope of the crank's torque
/// as their only coefficient that varies; they are carried as power series like the motion itself.
/// At a mode change the derivative jumps: with the guard g, its rate g' and the accelerations α
/// before (−) and after (+),
///
///     δt = −∇g·X/g'⁻,      X_speed⁺ = X_speed⁻ + (α⁻ − α⁺)·δt
///
/// and a memory that is set there takes the derivative of what it is set to. (For the jump, see
/// R. I. Leine and H. Nijmeijer, Dynamics and Bifurcations of Non-Smooth Mechanical Systems,
/// Springer 2004, chapter on fundamental solution matrices: the saltation matrix; recalled.)
class Variation final : public StretchWatcher {
  public:
    /// `start` has a row for every angle [rad], then every speed [rad/s], then every part's memory
    /// [rad]. Keeps a reference to the line. Throws ModelError if it has smooth laws.
    Variation(const Driveline& line, Eigen::MatrixXd start);

    void moved(const Move& move) override;
    void before_switch(const Instant& instant) override;
    void after_switch(const Instant& instant) override;

    /// The derivative now; rows as in the constructor.
    [[nodiscard]] const Eigen::MatrixXd& now() const { return x_; }

    /// Whether a guard was met (nearly) without falling, or several at once: there is no derivative
    /// then.
    [[nodiscard]] bool grazed() const { return grazed_; }
    /// Parts that have changed their mode so far.
    [[nodiscard]] const std::vector<bool>& has_switched() const { return has_switched_; }

  private:
    /// An inertia that something acts on: it is moved by inertias first … last.
    struct MovedBy {
        std::size_t inertia = 0;
        std::size_t first = 0, last = 0;
    };
    /// Acceleration that a memory makes.
    struct Rest {
        std::size_t inertia = 0;
        Eigen::Index memory = 0;  ///< Row of x_.
        double factor = 0.0;      ///< [1/s²]
    };
    double take_laws(const Move& move);
    void take_memories(const Move& move);
    void carry(double h);
    void accelerate(std::size_t k);
    /// Derivatives with respect to the memory of a part of the same branch.
    struct MemorySlope {
        std::size_t part = 0;
        double torque = 0.0;  ///< Of the branch torque [N m/rad].
        double cell = 0.0;    ///< Of the cell twist asked for.
    };
    std::vector<MemorySlope> memory_slopes(const Stacked& stacked, const State& state,
                                           std::size_t branch, std::size_t cell);
    [[nodiscard]] Eigen::RowVectorXd along(std::size_t branch, Eigen::Index first) const;

    const Kernel& kernel_;
    const Driveline& line_;
    Eigen::Index n_, parts_;
    Stacked probe_;
    Eigen::MatrixXd x_;
    std::size_t columns_;
    std::size_t width_;                     ///< Columns with room for whole vectors.
    std::vector<double> spring_, damping_;  ///< Accelerations: −spring·θ − damping·ω, row by row.
    std::vector<MovedBy> moved_by_;
    std::vector<Rest> rest_;
    // Of one order, a row for every inertia, and the sums of all orders so far.
    std::vector<double> theta_, omega_, alpha_, theta_sum_, omega_sum_;
    std::vector<std::vector<double>> input_rows_;  ///< Orders of the inputs' angles.
    std::vector<std::vector<double>> slopes_;      ///< Of each input, over the step.
    Eigen::RowVectorXd shift_, memory_;  ///< δt and the new memory, between the two calls.
    bool resets_ = false;
    double torque_before_ = 0.0;
    bool grazed_ = false;
    std::vector<bool> has_switched_;
};

}  // namespace damper
