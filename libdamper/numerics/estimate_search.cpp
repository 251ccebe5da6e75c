// SPDX-License-Identifier: MIT
#include "libdamper/numerics/estimate_search.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace damper {

double chi_square_of(const EstimateProblem& problem, const Eigen::VectorXd& errors,
                     const Eigen::VectorXd& figures) {
    double sum = 0.0;
    for (Eigen::Index i = 0; i < problem.seen.size(); ++i) {
        if (!std::isfinite(problem.seen[i])) continue;
        const double value = figures.size() > 0 ? figures[i] : std::nan("");
        if (!std::isfinite(value)) return std::numeric_limits<double>::infinity();
        const double off = (value - problem.seen[i]) / errors[i];
        sum += off * off;
    }
    return sum;
}

EstimateSearch::EstimateSearch(const EstimateProblem& problem, Eigen::VectorXd errors, double step,
                               double enough, std::size_t worker, const Progress& stop)
    : problem_(problem),
      errors_(std::move(errors)),
      step_(step),
      enough_(enough),
      worker_(worker),
      stop_(stop) {
    for (Eigen::Index i = 0; i < problem.seen.size(); ++i) {
        if (std::isfinite(problem.seen[i])) measured_.push_back(i);
    }
}

Eigen::VectorXd EstimateSearch::figures(const Eigen::VectorXd& x) {
    if (stop_.must_stop()) return {};
    Eigen::VectorXd out = problem_.figures(x, worker_);
    if (stop_.must_stop()) return {};  // a run that was cut short has figures of its own
    trials.push_back({x, out});
    return out;
}

bool EstimateSearch::residuals(const Eigen::VectorXd& figures, Eigen::VectorXd& out) const {
    if (figures.size() == 0) return false;
    out.resize(static_cast<Eigen::Index>(measured_.size()));
    for (std::size_t k = 0; k < measured_.size(); ++k) {
        const Eigen::Index i = measured_[k];
        out[static_cast<Eigen::Index>(k)] = (figures[i] - problem_.seen[i]) / errors_[i];
    }
    return out.allFinite();
}

Eigen::MatrixXd EstimateSearch::slopes(const Eigen::VectorXd& x, Eigen::Index held) {
    Eigen::MatrixXd out = Eigen::MatrixXd::Zero(problem_.seen.size(), x.size());
    Eigen::VectorXd middle;
    for (Eigen::Index j = 0; j < x.size(); ++j) {
        if (j == held) continue;
        Eigen::VectorXd low = x, high = x;
        // At the end of a range the step moves inward and stays as wide.
        low[j] = std::clamp(x[j] - step_, 0.0, 1.0 - 2.0 * step_);
        high[j] = low[j] + 2.0 * step_;
        const Eigen::VectorXd above = figures(high), below = figures(low);
        if (above.size() == 0 || below.size() == 0) {
            out.col(j).setConstant(std::nan(""));
            continue;
        }
        for (Eigen::Index i = 0; i < out.rows(); ++i) {
            out(i, j) = (above[i] - below[i]) / (high[j] - low[j]);
            if (std::isfinite(out(i, j))) continue;
            // On one side there is none: the other one will do.
            if (middle.size() == 0) middle = figures(x);
            if (middle.size() == 0) continue;
            const bool upper = std::isfinite(above[i]);
            out(i, j) = upper ? (above[i] - middle[i]) / (high[j] - x[j])
                              : (middle[i] - below[i]) / (x[j] - low[j]);
        }
    }
    return out;
}

bool EstimateSearch::derivatives(const Eigen::VectorXd& x, Eigen::Index held,
                                 Eigen::MatrixXd& out) {
    const Eigen::MatrixXd all = slopes(x, held);
    out.resize(static_cast<Eigen::Index>(measured_.size()), x.size());
    for (std::size_t k = 0; k < measured_.size(); ++k) {
        out.row(static_cast<Eigen::Index>(k)) = all.row(measured_[k]) / errors_[measured_[k]];
    }
    return out.allFinite();
}

std::optional<LeastSquaresResult> EstimateSearch::climb(const Eigen::VectorXd& start,
                                                        Eigen::Index held, bool thrifty) {
    BoundedLeastSquares problem;
    problem.lower = Eigen::VectorXd::Zero(start.size());
    problem.upper = Eigen::VectorXd::Ones(start.size());
    if (held >= 0) problem.lower[held] = problem.upper[held] = start[held];
    problem.most_damping = 20.0;
    problem.enough_absolute = enough_;
    problem.enough = 0.0;
    Eigen::VectorXd last_x, last_r;  // of the last value
    Eigen::VectorXd from_x, from_r;  // of the last derivative
    Eigen::MatrixXd kept;
    problem.evaluate = [&](const Eigen::VectorXd& x, Eigen::VectorXd& r,
                           Eigen::MatrixXd* jacobian) {
        if (last_x.size() == 0 || x != last_x) {
            last_x.resize(0);
            if (!residuals(figures(x), r)) return false;
            last_x = x;
            last_r = r;
        } else {
            r = last_r;
        }
        if (jacobian == nullptr) return true;
        if (thrifty && kept.size() > 0) {
            const Eigen::VectorXd moved = x - from_x;
            if (moved.squaredNorm() > 0.0) {
                kept += (r - from_r - kept * moved) * moved.transpose() / moved.squaredNorm();
            }
        } else if (!derivatives(x, held, kept)) {
            kept.resize(0, 0);
            return false;
        }
        from_x = x;
        from_r = r;
        *jacobian = kept;
        return true;
    };
    Eigen::VectorXd r;
    Eigen::MatrixXd ignored;
    if (!problem.evaluate(start, r, &ignored)) return {};
    if (start.size() == 1 && held == 0) {
        LeastSquaresResult out;
        out.x = start;
        out.residuals = r;
        out.sum_of_squares = r.squaredNorm();
        return out;
    }
    // The derivative at the start is there already.
    bool first = true;
    const auto evaluate = problem.evaluate;
    problem.evaluate = [&](const Eigen::VectorXd& x, Eigen::VectorXd& out,
                           Eigen::MatrixXd* jacobian) {
        if (first && jacobian != nullptr) {
            first = false;
            out = r;
            *jacobian = ignored;
            return true;
        }
        return evaluate(x, out, jacobian);
    };
    LeastSquaresResult found = least_squares(problem, start);
    if (stop_.must_stop()) return {};
    return found;
}

}  // namespace damper
