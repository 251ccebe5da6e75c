// SPDX-License-Identifier: MIT
#include "libdamper/numerics/dynamic_stiffness.hpp"

#include "libdamper/base/error.hpp"

#include <cmath>
#include <complex>
#include <fmt/format.h>
#include <utility>

namespace damper {

DynamicStiffness::DynamicStiffness(Eigen::VectorXd mass, Eigen::MatrixXd damping,
                                   Eigen::MatrixXd stiffness)
    : root_(std::move(mass)), damping_(std::move(damping)), stiffness_(std::move(stiffness)) {
    if (root_.size() == 0 || !(root_.minCoeff() > 0.0)) {
        throw ModelError("every inertia must be positive");
    }
    // From a loose gear to a vehicle inertias differ by 10⁵; scaled by their roots all rows of the
    // matrix have one unit, and pivoting compares like with like.
    root_ = root_.cwiseSqrt().cwiseInverse().eval();
    damping_ = (root_.asDiagonal() * damping_ * root_.asDiagonal()).eval();
    stiffness_ = (root_.asDiagonal() * stiffness_ * root_.asDiagonal()).eval();
}

void DynamicStiffness::set(double frequency) {
    if (!(frequency > 0.0) || !std::isfinite(frequency)) {
        throw ModelError(
            fmt::format("a response needs a frequency above 0, not {} rad/s; at 0 the "
                        "driveline turns away",
                        frequency));
    }
    frequency_ = frequency;
    Eigen::MatrixXcd matrix = stiffness_ + std::complex<double>(0.0, frequency) * damping_;
    matrix.diagonal().array() -= frequency * frequency;
    factors_.compute(matrix);
}

Eigen::VectorXcd DynamicStiffness::angles(const Eigen::VectorXcd& torque) const {
    if (!(frequency_ > 0.0)) throw ModelError("set a frequency before asking for angles");
    return root_.asDiagonal() * factors_.solve(root_.asDiagonal() * torque);
}

}  // namespace damper
