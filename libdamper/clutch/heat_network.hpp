// SPDX-License-Identifier: MIT
#pragma once

#include <Eigen/Core>

namespace damper {

/// Bulk temperatures of a few plates that exchange heat with each other and with the air.
///
///     Cᵢ·θᵢ' = qᵢ(t) − Gᵢ·θᵢ − Σⱼ Xᵢⱼ·(θᵢ − θⱼ)      θ: degrees above the air
///
/// With z = √C·θ the matrix is symmetric; in its eigenvectors each part decays on its own, so that
/// states after any time are exact, with no step: for heat flows that change evenly from q₀ to q₁
/// as well.
class HeatNetwork {
  public:
    /// Heat capacities [J/K] > 0, conductances to the air [W/K] ≥ 0, both [n]; conductances between
    /// plates [W/K] ≥ 0, symmetric [n × n], diagonal ignored. Throws ModelError.
    HeatNetwork(const Eigen::VectorXd& capacity, const Eigen::VectorXd& to_air,
                const Eigen::MatrixXd& between);

    /// θ after `time` ≥ 0 [s] while heat flows change evenly from `first` to `last` [W], all [n].
    [[nodiscard]] Eigen::VectorXd after(const Eigen::VectorXd& theta, double time,
                                        const Eigen::VectorXd& first,
                                        const Eigen::VectorXd& last) const;
    /// The same without heat.
    [[nodiscard]] Eigen::VectorXd cooled(const Eigen::VectorXd& theta, double time) const;
    /// What has gone to the air in that time [J].
    [[nodiscard]] double heat_lost(const Eigen::VectorXd& theta, double time,
                                   const Eigen::VectorXd& first, const Eigen::VectorXd& last) const;

    /// Heat in the plates [J].
    [[nodiscard]] double stored(const Eigen::VectorXd& theta) const;
    /// Longest time constant [s]; infinite if nothing cools.
    [[nodiscard]] double slowest() const;
    [[nodiscard]] Eigen::Index size() const { return capacity_.size(); }

  private:
    Eigen::VectorXd capacity_;
    Eigen::VectorXd to_air_;
    Eigen::VectorXd rate_;   ///< Eigenvalues [1/s], ≥ 0
    Eigen::MatrixXd shape_;  ///< √C⁻¹·V: from parts to θ
    Eigen::MatrixXd weigh_;  ///< Vᵀ·√C: from θ to parts
};

}  // namespace damper
