// SPDX-License-Identifier: MIT
#pragma once

#include <Eigen/Core>
#include <functional>

namespace damper {

/// Smallest sum of squares ½·|r(x)|² with lower ≤ x ≤ upper.
struct BoundedLeastSquares {
    Eigen::VectorXd lower, upper;
    /// Fills the residuals and, unless null, their derivative by x. False: x means nothing there.
    std::function<bool(const Eigen::VectorXd& x, Eigen::VectorXd& residuals,
                       Eigen::MatrixXd* jacobian)>
        evaluate;
    int most_steps = 40;
    double enough = 1e-8;  ///< Ends when a step lowers the sum of squares by less, relatively.
    double enough_absolute = 0.0;  ///< The same in units of the sum, also of the drop foreseen.
    double most_damping = 1e10;    ///< Beyond it no lower sum is looked for any more.
};

/// Where the search ended.
struct LeastSquaresResult {
    Eigen::VectorXd x;
    Eigen::VectorXd residuals;
    Eigen::MatrixXd jacobian;  ///< At x.
    double sum_of_squares = 0.0;
    int steps = 0;
    bool found = false;  ///< Ended because no step lowers the sum any more.
};

/// Levenberg and Marquardt's method; unknowns at a bound that the gradient presses against are held
/// there for the step, the others are cut at their bounds.
///
/// Source: D. W. Marquardt, An algorithm for least-squares estimation of nonlinear parameters, J.
/// SIAM 11(2), 1963, 431–441 (citation recalled). Throws ModelError if the start means nothing or
/// lies outside the bounds.
[[nodiscard]] LeastSquaresResult least_squares(const BoundedLeastSquares& problem,
                                               const Eigen::VectorXd& start);

}  // namespace damper
