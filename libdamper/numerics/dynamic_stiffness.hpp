// SPDX-License-Identifier: MIT
#pragma once

#include <Eigen/Dense>

namespace damper {

/// M·θ'' + C·θ' + K·θ = Re(T·exp(iωt)) in the settled motion θ = Re(Θ·exp(iωt)):
///
///     (K − ω²·M + iω·C)·Θ = T
///
/// `mass` [n] kg m², positive; `damping` and `stiffness` [n × n] symmetric. Angles carry the phase
/// against the torque: a positive argument runs ahead. Rigid-body modes are welcome: only ω = 0
/// is not. Without damping the answer at a natural frequency is as large as rounding lets it.
class DynamicStiffness {
  public:
    DynamicStiffness(Eigen::VectorXd mass, Eigen::MatrixXd damping, Eigen::MatrixXd stiffness);

    /// Makes ready for a circular frequency [rad/s]. Throws ModelError unless it is > 0, finite.
    void set(double frequency);
    /// Angles Θ [rad] under the torques T [N m].
    [[nodiscard]] Eigen::VectorXcd angles(const Eigen::VectorXcd& torque) const;
    [[nodiscard]] double frequency() const { return frequency_; }

  private:
    Eigen::VectorXd root_;       ///< M^(−1/2)
    Eigen::MatrixXd damping_;    ///< M^(−1/2)·C·M^(−1/2)
    Eigen::MatrixXd stiffness_;  ///< M^(−1/2)·K·M^(−1/2)
    double frequency_ = 0.0;
    Eigen::PartialPivLU<Eigen::MatrixXcd> factors_;
};

}  // namespace damper
