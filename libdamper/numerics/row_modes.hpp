// SPDX-License-Identifier: MIT
#pragma once

#include <Eigen/Dense>
#include <complex>
#include <vector>

namespace damper {

/// A vibrating system as what it is made of, not as its stiffness matrix: each spring is a row
///
///     B = √k·g·M^(−1/2),    M^(−1/2)·K·M^(−1/2) = Bᵀ·B
///
/// so that frequencies are singular values of B. Forming K first would square the range: with a
/// tooth contact at 50 kHz in it, double precision leaves a shuffle of 2 Hz four digits; from the
/// rows it keeps nine or more. The squares of the singular vectors are the shares of energy.
struct RowSystem {
    Eigen::VectorXd mass;     ///< Diagonal of M, > 0 [n]
    Eigen::MatrixXd springs;  ///< √k·g of each spring [springs × n]
    Eigen::MatrixXd damping;  ///< C, symmetric [n × n]
    Eigen::MatrixXd held;     ///< Rows g with g·θ = 0 in the undamped motion [held × n]
};

/// Undamped modes of a RowSystem, rising in frequency; as many as motions are left free.
struct RowModes {
    Eigen::VectorXd frequency;      ///< Circular [rad/s]; exactly 0 for a rigid-body motion.
    Eigen::MatrixXd shape;          ///< Columns, φᵀ·M·φ = 1 [n × modes]
    Eigen::MatrixXd kinetic_share;  ///< M_i·φ_i², columns sum to 1 [n × modes]
    /// k·(g·φ)²/ω², columns sum to 1; zero for a rigid-body motion [springs × modes]
    Eigen::MatrixXd strain_share;
};
[[nodiscard]] RowModes undamped_row_modes(const RowSystem& system);

/// One damped oscillation M·θ'' + C·θ' + K·θ = 0, θ = φ·exp(λt), Im λ > 0. What is held in the
/// undamped motion is free here.
struct RowOscillation {
    std::complex<double> lambda;  ///< [rad/s]
    Eigen::VectorXcd shape;  ///< φᴴ·M·φ = 1, largest entry of √M·φ real and positive [n]
};
/// All of them, rising in Im λ. From the rows as well:
///
///     ( v )'   ( −C̃  −Bᵀ ) ( v )
///     ( s )  = (  B    0  ) ( s ),   v = √M·θ', s = B·√M·θ, C̃ = M^(−1/2)·C·M^(−1/2)
[[nodiscard]] std::vector<RowOscillation> damped_row_modes(const RowSystem& system);

}  // namespace damper
