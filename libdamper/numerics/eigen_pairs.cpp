// SPDX-License-Identifier: MIT
#include "libdamper/numerics/eigen_pairs.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

EigenPairs eigen_pairs(const Eigen::MatrixXd& matrix) {
    const Eigen::EigenSolver<Eigen::MatrixXd> solver(matrix);
    return {.values = solver.eigenvalues(), .vectors = solver.eigenvectors()};
}

std::vector<UndampedMode> undamped_modes(const Eigen::VectorXd& mass,
                                         const Eigen::MatrixXd& stiffness) {
    // M^(-1/2)·K·M^(-1/2): symmetric, so that the eigenvalues come out real and accurate.
    const Eigen::VectorXd root = mass.cwiseSqrt().cwiseInverse();
    const Eigen::MatrixXd scaled = root.asDiagonal() * stiffness * root.asDiagonal();
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(scaled);
    const double largest = std::max(solver.eigenvalues().cwiseAbs().maxCoeff(), 1e-300);
    std::vector<UndampedMode> modes;
    for (Eigen::Index i = 0; i < mass.size(); ++i) {
        const double square = solver.eigenvalues()(i);
        UndampedMode mode;
        mode.frequency = square > 1e-13 * largest ? std::sqrt(square) : 0.0;
        mode.shape = root.asDiagonal() * solver.eigenvectors().col(i);
        Eigen::Index peak = 0;
        mode.shape.cwiseAbs().maxCoeff(&peak);
        mode.shape /= mode.shape(peak);
        modes.push_back(mode);
    }
    return modes;
}

std::vector<DampedMode> damped_modes(const Eigen::VectorXd& mass, const Eigen::MatrixXd& damping,
                                     const Eigen::MatrixXd& stiffness) {
    const Eigen::Index n = mass.size();
    Eigen::MatrixXd a = Eigen::MatrixXd::Zero(2 * n, 2 * n);
    a.topRightCorner(n, n).setIdentity();
    const Eigen::VectorXd minus_inverse = -mass.cwiseInverse();
    a.bottomLeftCorner(n, n) = minus_inverse.asDiagonal() * stiffness;
    a.bottomRightCorner(n, n) = minus_inverse.asDiagonal() * damping;
    const EigenPairs pairs = eigen_pairs(a);
    std::vector<DampedMode> modes;
    for (Eigen::Index i = 0; i < 2 * n; ++i) {
        const std::complex<double> lambda = pairs.values(i);
        if (!(lambda.imag() > 1e-9 * std::abs(lambda)) || lambda.imag() < 1e-6) continue;
        DampedMode mode;
        mode.frequency = std::abs(lambda);
        mode.damped_frequency = lambda.imag();
        mode.damping_ratio = -lambda.real() / std::abs(lambda);
        mode.shape = pairs.vectors.col(i).head(n);
        Eigen::Index peak = 0;
        mode.shape.cwiseAbs().maxCoeff(&peak);
        mode.shape /= mode.shape(peak);
        modes.push_back(mode);
    }
    std::sort(modes.begin(), modes.end(), [](const DampedMode& x, const DampedMode& y) {
        return x.damped_frequency < y.damped_frequency;
    });
    return modes;
}

}  // namespace damper
