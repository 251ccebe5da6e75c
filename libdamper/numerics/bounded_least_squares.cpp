// SPDX-License-Identifier: MIT
#include "libdamper/numerics/bounded_least_squares.hpp"

#include "libdamper/base/error.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <vector>

namespace damper {

namespace {

constexpr double first_damping = 1e-3;
constexpr double least_damping = 1e-9;

/// Unknowns that may move: not at a bound against which the gradient presses.
std::vector<Eigen::Index> free_unknowns(const BoundedLeastSquares& problem,
                                        const Eigen::VectorXd& x, const Eigen::VectorXd& gradient) {
    std::vector<Eigen::Index> free;
    for (Eigen::Index i = 0; i < x.size(); ++i) {
        const bool low = x[i] <= problem.lower[i] && gradient[i] > 0.0;
        const bool high = x[i] >= problem.upper[i] && gradient[i] < 0.0;
        if (!low && !high && problem.lower[i] < problem.upper[i]) free.push_back(i);
    }
    return free;
}

Eigen::VectorXd step_of(const Eigen::MatrixXd& normal, const Eigen::VectorXd& gradient,
                        const std::vector<Eigen::Index>& free, double damping) {
    const auto n = static_cast<Eigen::Index>(free.size());
    Eigen::MatrixXd matrix(n, n);
    Eigen::VectorXd right(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const Eigen::Index row = free[static_cast<std::size_t>(i)];
        right[i] = -gradient[row];
        for (Eigen::Index j = 0; j < n; ++j) {
            matrix(i, j) = normal(row, free[static_cast<std::size_t>(j)]);
        }
        matrix(i, i) += damping * matrix(i, i) + 1e-30;
    }
    const Eigen::VectorXd small = matrix.ldlt().solve(right);
    Eigen::VectorXd step = Eigen::VectorXd::Zero(gradient.size());
    for (Eigen::Index i = 0; i < n; ++i) step[free[static_cast<std::size_t>(i)]] = small[i];
    return step;
}

}  // namespace

LeastSquaresResult least_squares(const BoundedLeastSquares& problem, const Eigen::VectorXd& start) {
    LeastSquaresResult best;
    best.x = start;
    if ((start.array() < problem.lower.array()).any() ||
        (start.array() > problem.upper.array()).any() ||
        !problem.evaluate(best.x, best.residuals, &best.jacobian)) {
        throw ModelError("the search for least squares begins outside of what is allowed");
    }
    best.sum_of_squares = best.residuals.squaredNorm();
    double damping = first_damping;
    Eigen::VectorXd residuals;
    for (; best.steps < problem.most_steps && !best.found; ++best.steps) {
        const Eigen::VectorXd gradient = best.jacobian.transpose() * best.residuals;
        Eigen::MatrixXd normal = Eigen::MatrixXd::Zero(start.size(), start.size());
        normal.selfadjointView<Eigen::Lower>().rankUpdate(best.jacobian.transpose());
        normal.triangularView<Eigen::StrictlyUpper>() = normal.transpose();
        const auto free = free_unknowns(problem, best.x, gradient);
        bool lower = false;
        while (!lower && damping < problem.most_damping) {
            const Eigen::VectorXd step = step_of(normal, gradient, free, damping);
            const Eigen::VectorXd x =
                (best.x + step).cwiseMax(problem.lower).cwiseMin(problem.upper);
            const double foreseen = -2.0 * gradient.dot(step) - step.dot(normal * step);
            if (problem.enough_absolute > 0.0 && foreseen < problem.enough_absolute) break;
            const bool fits = x.allFinite() && problem.evaluate(x, residuals, nullptr);
            const double sum = fits ? residuals.squaredNorm() : best.sum_of_squares;
            if (sum < best.sum_of_squares) {
                best.found =
                    best.sum_of_squares - sum <
                    std::max(problem.enough_absolute, problem.enough * best.sum_of_squares);
                best.x = x;
                best.sum_of_squares = sum;
                damping = std::max(least_damping, 0.2 * damping);
                lower = true;
            } else {
                damping *= 5.0;
            }
        }
        if (!lower) {
            best.found = true;
            break;
        }
        problem.evaluate(best.x, best.residuals, &best.jacobian);
    }
    return best;
}

}  // namespace damper
