// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/fit/bench_path.hpp"
#include "libdamper/fit/bench_run.hpp"
#include "libdamper/fit/loop_shape.hpp"
#include "libdamper/numerics/bounded_least_squares.hpp"

#include <Eigen/Core>
#include <vector>

namespace damper {

/// What of a disc a fit looks for beyond its stages.
struct LoopExtras {
    bool play = false;           ///< Play at zero torque
    bool first_preload = false;  ///< Preload of the innermost stage
    friend bool operator==(const LoopExtras&, const LoopExtras&) = default;
};

/// What is known of the bench beforehand.
struct BenchErrors {
    std::vector<double> torque_zero;  ///< Standard deviation of each run's zero of torque [N m]
    std::vector<std::vector<double>> group;  ///< Standard deviation of each group's torque [N m]
};

/// Errors of the groups of a run by the slope of the law there.
[[nodiscard]] std::vector<double> group_errors(const GroupedRun& run,
                                               const std::vector<PathMeans::Mean>& law);

/// The loops of one disc as a problem of least squares:
///
///     torque = law(twist − zero twist, way before) + zero of torque + drift + error
///
/// The zero of twist is one for all runs, zero and drift of torque belong to each run; the drift is
/// straight between the loops. Errors of the twist enter by the slope (effective variance: J.
/// Orear, Least squares when both variables have uncertainties, Am. J. Phys. 50(10), 1982, 912–916,
/// citation recalled). What the loops leave open is held by what is usual: the zero of torque at
/// that of the bench, the grip of a sticking washer at 40 times its stage (within a factor 2.5).
class LoopProblem {
  public:
    enum class Kind {
        drive_stiffness,
        coast_stiffness,
        both_stiffness,
        drive_width,
        coast_width,
        hysteresis,
        preload,
        stop_stiffness,
        grip,
        play,
        zero_twist,
        torque_zero
    };
    struct Unknown {
        Kind kind;
        std::size_t at = 0;    ///< Stage or run
        std::size_t knot = 0;  ///< Of the drift
    };

    /// `runs` and `errors` must outlive it. What `reach` does not show of `start` stays as it is.
    LoopProblem(const std::vector<GroupedRun>& runs, const BenchErrors& errors,
                const LoopShape& start, double zero_twist, const LoopReach& reach,
                const LoopExtras& extras);

    /// At most `most_steps` from a point on, until the sum of squares falls by less than `enough`
    /// of itself.
    [[nodiscard]] LeastSquaresResult solve(const Eigen::VectorXd& from, int most_steps,
                                           double enough) const;
    [[nodiscard]] const Eigen::VectorXd& start() const { return start_; }

    [[nodiscard]] LoopShape shape(const Eigen::VectorXd& x) const;
    [[nodiscard]] double zero_twist(const Eigen::VectorXd& x) const;
    /// Zero of torque and drift at a place of a run [N m].
    [[nodiscard]] double torque_zero(const Eigen::VectorXd& x, std::size_t run,
                                     double position) const;
    /// What the law gives for each group of a run: the mean over its span.
    [[nodiscard]] std::vector<PathMeans::Mean> law_at_groups(const LoopShape& shape,
                                                             double zero_twist,
                                                             std::size_t run) const;

    [[nodiscard]] const std::vector<Unknown>& unknowns() const { return unknowns_; }
    [[nodiscard]] std::size_t groups() const { return groups_; }
    [[nodiscard]] const LoopReach& reach() const { return reach_; }
    [[nodiscard]] const LoopExtras& extras() const { return extras_; }

  private:
    void add(Kind kind, std::size_t at, double start, double low, double high,
             std::size_t knot = 0);
    void add_stage(std::size_t s, double range, double torque_range);
    [[nodiscard]] bool laws(const Eigen::VectorXd& x, Eigen::VectorXd& torque) const;
    [[nodiscard]] bool evaluate(const Eigen::VectorXd& x, Eigen::VectorXd& residuals,
                                Eigen::MatrixXd* jacobian) const;
    void residuals_of(const Eigen::VectorXd& x, const Eigen::VectorXd& torque,
                      Eigen::VectorXd& residuals) const;
    void derive_bench(Eigen::MatrixXd& jacobian) const;

    const std::vector<GroupedRun>& runs_;
    const BenchErrors& errors_;
    LoopShape base_;
    LoopReach reach_;
    LoopExtras extras_;
    std::vector<Unknown> unknowns_;
    std::vector<double> lower_, upper_, first_;
    Eigen::VectorXd start_;
    std::vector<std::size_t> knots_, first_knot_;  ///< Of each run: how many, and its first unknown
    Eigen::Index grip_ = 0;
    std::size_t groups_ = 0, priors_ = 0;
};

}  // namespace damper
