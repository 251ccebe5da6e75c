// SPDX-License-Identifier: MIT
#pragma once

#include <Eigen/Dense>
#include <vector>

namespace damper {

/// Eigenvalues and eigenvectors (columns of length 1) of any square matrix, in the order in which
/// they come out. One place, since every use of Eigen's solver would be compiled anew.
struct EigenPairs {
    Eigen::VectorXcd values;
    Eigen::MatrixXcd vectors;
};
[[nodiscard]] EigenPairs eigen_pairs(const Eigen::MatrixXd& matrix);

/// One undamped mode of M·θ'' + K·θ = 0.
struct UndampedMode {
    double frequency = 0.0;  ///< Circular [rad/s]; 0 for a rigid-body mode.
    Eigen::VectorXd shape;   ///< Largest entry 1.
};

/// All modes, rising in frequency. `mass` [n] positive, `stiffness` [n × n] symmetric and positive
/// semi-definite.
[[nodiscard]] std::vector<UndampedMode> undamped_modes(const Eigen::VectorXd& mass,
                                                       const Eigen::MatrixXd& stiffness);

/// One damped mode of M·θ'' + C·θ' + K·θ = 0.
struct DampedMode {
    double frequency = 0.0;         ///< |λ| [rad/s]
    double damped_frequency = 0.0;  ///< Im λ ≥ 0 [rad/s]
    double damping_ratio = 0.0;     ///< −Re λ/|λ|; 1 and above: no oscillation.
    Eigen::VectorXcd shape;         ///< Largest entry 1.
};

/// The oscillating modes (Im λ > 0), rising in damped frequency.
[[nodiscard]] std::vector<DampedMode> damped_modes(const Eigen::VectorXd& mass,
                                                   const Eigen::MatrixXd& damping,
                                                   const Eigen::MatrixXd& stiffness);

}  // namespace damper
