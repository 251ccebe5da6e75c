// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/numerics/bounded_least_squares.hpp"
#include "libdamper/numerics/parameter_estimate.hpp"

#include <Eigen/Core>
#include <cstddef>
#include <optional>
#include <vector>

namespace damper {

/// A point that was tried, with the figures of the model there.
struct EstimateTrial {
    Eigen::VectorXd x, figures;
};

/// Sum of squares of the measured figures' deviations in errors; infinite where the model gives
/// not all of them.
[[nodiscard]] double chi_square_of(const EstimateProblem& problem, const Eigen::VectorXd& errors,
                                   const Eigen::VectorXd& figures);

/// One job's search on one thread. It keeps whatever it tried, because every point that meets the
/// figures says how wide the intervals are at least.
class EstimateSearch {
  public:
    EstimateSearch(const EstimateProblem& problem, Eigen::VectorXd errors, double step,
                   double enough, std::size_t worker, const Progress& stop);

    /// The best point near `start`; with `held` ≥ 0 that unknown stays where it is. `thrifty`:
    /// derivatives are taken once and then corrected by the steps themselves (C. G. Broyden, Math.
    /// Comp. 19 (1965) 577–593; recalled). Nothing if the model gives nothing there.
    std::optional<LeastSquaresResult> climb(const Eigen::VectorXd& start, Eigen::Index held,
                                            bool thrifty);
    /// Figures at a point; empty after a request to stop.
    Eigen::VectorXd figures(const Eigen::VectorXd& x);
    /// Derivatives of all figures by differences; that of `held` is left at 0. NaN where a figure
    /// is missing on both sides.
    Eigen::MatrixXd slopes(const Eigen::VectorXd& x, Eigen::Index held);

    [[nodiscard]] double chi_square(const Eigen::VectorXd& figures) const {
        return chi_square_of(problem_, errors_, figures);
    }
    std::vector<EstimateTrial> trials;

  private:
    bool residuals(const Eigen::VectorXd& figures, Eigen::VectorXd& out) const;
    bool derivatives(const Eigen::VectorXd& x, Eigen::Index held, Eigen::MatrixXd& out);

    const EstimateProblem& problem_;
    Eigen::VectorXd errors_;
    double step_, enough_;
    std::size_t worker_;
    const Progress& stop_;
    std::vector<Eigen::Index> measured_;
};

}  // namespace damper
