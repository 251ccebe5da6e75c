// SPDX-License-Identifier: MIT
#include "libdamper/fit/confidence.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>

namespace damper {

namespace {

constexpr double two_sided_95 = 1.959964;
constexpr Eigen::Index per_stage = 7;
constexpr double held_grip =
    2.0;  // width of its interval over it: what is usual holds it, not the loop
constexpr Estimate no_trace{0.0, 0.0, 0.0, Known::none};  // looked for, and no better fit with it

Eigen::MatrixXd covariance(const std::vector<GroupedRun>& runs, const LeastSquaresResult& found) {
    const Eigen::Index n = found.x.size();
    Eigen::MatrixXd hessian = found.jacobian.transpose() * found.jacobian;
    Eigen::MatrixXd middle = Eigen::MatrixXd::Zero(n, n);
    Eigen::Index row = 0;
    for (const GroupedRun& run : runs) {
        const auto count = static_cast<Eigen::Index>(run.groups.size());
        const auto part = found.jacobian.middleRows(row, count);
        const auto left = found.residuals.segment(row, count);
        const double rho = likeness_of_neighbours(left.data(), run.groups.size());
        const double square =
            left.squaredNorm() / std::max<double>(1.0, static_cast<double>(count));
        middle += square * (1.0 + rho) / (1.0 - rho) * (part.transpose() * part);
        row += count;
    }
    const auto held = found.jacobian.bottomRows(found.jacobian.rows() - row);
    middle += held.transpose() * held;
    // Unknowns differ by many powers of ten: scaled to a unit diagonal before the inverse.
    const Eigen::VectorXd scale = hessian.diagonal().cwiseMax(1e-30).cwiseSqrt().cwiseInverse();
    hessian = scale.asDiagonal() * hessian * scale.asDiagonal();
    hessian.diagonal().array() += 1e-12;
    middle = scale.asDiagonal() * middle * scale.asDiagonal();
    const Eigen::MatrixXd inverse = hessian.ldlt().solve(Eigen::MatrixXd::Identity(n, n));
    return scale.asDiagonal() * (inverse * middle * inverse.transpose()) * scale.asDiagonal();
}

Eigen::VectorXd figures_of(const LoopShape& shape) {
    const auto stages = static_cast<Eigen::Index>(shape.stages.size());
    Eigen::VectorXd out(per_stage * stages + 3);
    for (Eigen::Index s = 0; s < stages; ++s) {
        const auto at = static_cast<std::size_t>(s);
        const LoopShape::Stage& stage = shape.stages[at];
        const double drive = shape.drive_end(at), coast = shape.coast_end(at);
        out.segment<per_stage>(per_stage * s) << stage.drive_stiffness, stage.coast_stiffness,
            drive, coast, drive + coast, stage.hysteresis, stage.preload;
    }
    out.tail<3>() << shape.stop_stiffness, shape.grip, shape.play;
    return out;
}

}  // namespace

void estimate(const LoopProblem& problem, const std::vector<GroupedRun>& runs,
              const LeastSquaresResult& found, DiscFit& fit) {
    const Eigen::MatrixXd spread = covariance(runs, found);
    const Eigen::VectorXd value = figures_of(problem.shape(found.x));
    Eigen::MatrixXd slope(value.size(), found.x.size());
    for (Eigen::Index i = 0; i < found.x.size(); ++i) {
        const double step = 1e-6 * std::max(std::abs(found.x[i]), 1e-2);
        Eigen::VectorXd moved = found.x;
        moved[i] += step;
        slope.col(i) = (figures_of(problem.shape(moved)) - value) / step;
    }
    const Eigen::VectorXd variance = (slope * spread * slope.transpose()).diagonal();
    const auto at = [&](Eigen::Index i, bool shown, bool at_least_zero = false) {
        const double half = two_sided_95 * std::sqrt(std::max(variance[i], 0.0));
        Estimate out{value[i], value[i] - half, value[i] + half, Known::measured};
        if (!shown) out = {value[i], value[i], value[i], Known::open};
        if (shown && at_least_zero && out.low <= 0.0) {
            out.low = 0.0;
            out.known = Known::none;
        }
        return out;
    };
    const LoopReach& reach = problem.reach();
    const auto stages = static_cast<int>(fit.shape.stages.size());
    for (int s = 0; s < stages; ++s) {
        const Eigen::Index i = per_stage * s;
        const bool drive = reach.drive > s, coast = reach.coast > s;
        const bool drive_end = reach.drive > s + 1, coast_end = reach.coast > s + 1;
        fit.stages.push_back({.drive_stiffness = at(i, drive),
                              .coast_stiffness = at(i + 1, coast),
                              .drive_end = at(i + 2, drive_end),
                              .coast_end = at(i + 3, coast_end),
                              .travel = at(i + 4, drive_end && coast_end),
                              .hysteresis = at(i + 5, drive || coast, true),
                              .preload = s > 0 || problem.extras().first_preload
                                             ? at(i + 6, drive || coast, true)
                                             : no_trace});
    }
    const Eigen::Index last = per_stage * stages;
    fit.stop_stiffness = at(last, reach.drive > stages || reach.coast > stages);
    fit.friction_grip = at(last + 1, true);
    if (fit.friction_grip.high - fit.friction_grip.low > held_grip * fit.friction_grip.value) {
        fit.friction_grip = at(last + 1, false);
    }
    fit.spline_play = problem.extras().play ? at(last + 2, true, true) : no_trace;
}

}  // namespace damper
