// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"
#include "libdamper/solvers/orbit/branch_course.hpp"
#include "libdamper/solvers/orbit/fourier.hpp"

#include <Eigen/Dense>
#include <cstddef>
#include <string>
#include <vector>

namespace damper {

/// A driveline that runs at a given mean speed, and what repeats itself.
struct PeriodicProblem {
    Driveline line;        ///< Without smooth laws; inputs constant, by crank angle, or sine.
    State start;           ///< Modes and memories of the parts to begin with.
    std::size_t lead = 0;  ///< Inertia whose mean angle is that of its uniform rotation.
    double omega = 0.0;    ///< Of the first harmonic [rad/s], > 0
    /// Inertia that gets the constant torque which keeps the mean speed; −1: none, the driveline is
    /// held by a spring to the ground.
    int balanced_at = -1;
};

/// Coefficients of the angles of all inertias, one after the other; where `balanced_at` is not −1,
/// the place of the lead's mean angle holds the balancing torque [N m] instead.
///
/// Between two inertias that only a damper couples (a tyre that slips) the mean twist has no
/// meaning, but the mean rate has: the mean twist times omega stands for it.
struct PeriodicMotion {
    FourierBasis basis;
    Eigen::VectorXd unknowns;    ///< [inertias · basis.size()]
    std::vector<int> mode;       ///< Of every part at the beginning of the period.
    std::vector<double> memory;  ///< The same.
    double balance = 0.0;        ///< Torque that keeps the mean speed [N m].
    double truncation = 0.0;     ///< Share of the speed swing that left-out harmonics make.
    int switches = 0;            ///< Mode changes in a period.

    /// Coefficients of the deviation of an inertia's angle.
    [[nodiscard]] Eigen::VectorXd angle(std::size_t inertia) const;
    bool balanced = false;
    std::size_t lead = 0;
};

/// Harmonic balance of a driveline:
///
///     M·q'' + Σ gᵀ·τ_b(g·q) − Σ f(q) = 0     for every harmonic kept
///
/// in the Fourier coefficients of q. Elements without mode changes enter as complex stiffness
/// k + i·n·ω·c, harmonic by harmonic; only elements that change their mode, and the crank's torque
/// by angle, couple harmonics. Newton's step therefore eliminates the former harmonic by harmonic
/// (an n × n complex matrix each) and leaves one dense system in the twists of the latter.
class PeriodicBalance {
  public:
    PeriodicBalance(PeriodicProblem problem, int harmonics);

    [[nodiscard]] const FourierBasis& basis() const { return basis_; }
    [[nodiscard]] const PeriodicProblem& problem() const { return problem_; }

    /// Evaluates the balance of torques there [N m]; false if it cannot be (why_not says why).
    bool evaluate(const Eigen::VectorXd& unknowns);
    [[nodiscard]] const Eigen::VectorXd& residual() const { return residual_; }
    [[nodiscard]] const std::string& why_not() const { return why_not_; }

    /// Coefficients of the torque of a branch at the last evaluation [N m].
    [[nodiscard]] const Eigen::VectorXd& branch_torque(std::size_t branch) const {
        return courses_[branch].torque;
    }

    /// Prepares Newton's step at the last evaluation; false if the matrix is singular.
    bool factorise();
    /// The solution of J·x = right.
    [[nodiscard]] Eigen::VectorXd solve(const Eigen::VectorXd& right) const;

    /// Largest torque of the problem, against which residuals are measured [N m].
    [[nodiscard]] double torque_scale() const { return torque_scale_; }
    [[nodiscard]] PeriodicMotion motion(const Eigen::VectorXd& unknowns) const;
    /// Modes and memories with which courses begin.
    void restart(const std::vector<int>& mode, const std::vector<double>& memory);
    /// The whole Jacobian [size × size], for tests.
    [[nodiscard]] Eigen::MatrixXd jacobian() const;

  private:
    /// What couples harmonics: an element with mode changes, or a torque by crank angle.
    struct Port {
        std::vector<RowEntry> row;
        Eigen::MatrixXd slope;  ///< Less the mean spring and damping, which stand in the blocks.
    };
    [[nodiscard]] Eigen::VectorXd along(const std::vector<RowEntry>& row,
                                        const Eigen::VectorXd& unknowns) const;
    void add(const std::vector<RowEntry>& row, const Eigen::VectorXd& torque, Eigen::VectorXd& to,
             double sign) const;
    void take_branches(const Eigen::VectorXd& unknowns);
    void take_inputs(const Eigen::VectorXd& unknowns);
    [[nodiscard]] Eigen::VectorXd without_ports(const Eigen::VectorXd& right) const;
    [[nodiscard]] double truncation(const Eigen::VectorXd& unknowns) const;
    [[nodiscard]] bool is_free(int inertia) const;

    PeriodicProblem problem_;
    FourierBasis basis_;
    FourierGrid grid_;
    Eigen::Index n_;
    std::vector<BranchWalker> walkers_;
    std::vector<bool> is_damper_;  ///< Of each branch: nothing but a damper between inertias.
    std::vector<std::size_t> first_part_;
    std::vector<Port> ports_;
    std::vector<BranchCourse> courses_;
    Eigen::MatrixXd spring_, damping_;
    Eigen::MatrixXd mean_spring_;  ///< Of dampers, for the mean alone.
    Eigen::VectorXd residual_;
    double torque_scale_ = 1.0;
    int switches_ = 0;
    std::string why_not_;
    Eigen::FullPivLU<Eigen::MatrixXd> mean_;
    std::vector<Eigen::PartialPivLU<Eigen::MatrixXcd>> blocks_;
    Eigen::PartialPivLU<Eigen::MatrixXd> dense_;
};

/// Newton's method at a fixed speed.
struct BalanceSettings {
    int most_iterations = 40;
    double tolerance = 1e-10;  ///< Of the largest torque.
};
struct BalanceOutcome {
    bool converged = false;
    std::string why_not;
    int iterations = 0;
    Eigen::VectorXd unknowns;
};
[[nodiscard]] BalanceOutcome solve_balance(PeriodicBalance& balance, Eigen::VectorXd guess,
                                           const BalanceSettings& settings = {});

/// Whether a branch couples inertias by nothing but a damper.
[[nodiscard]] bool is_damper(const Branch& branch);

/// What a time solver is given to go on with a motion: the driveline with the balancing torque as
/// an input of its own and mean slip in the reference speeds, and the state at the beginning of the
/// period.
struct TimeProblem {
    Driveline line;
    State start;
    int neutral = 0;  ///< Angles that nothing holds, besides that of all together.
};
[[nodiscard]] TimeProblem time_problem(const PeriodicProblem& problem,
                                       const PeriodicMotion& motion);

}  // namespace damper
