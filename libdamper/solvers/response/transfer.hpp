// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/linearise.hpp"
#include "libdamper/numerics/dynamic_stiffness.hpp"

#include <complex>
#include <cstddef>
#include <span>
#include <vector>

namespace damper {

/// What of a swinging driveline is looked at.
enum class Observed {
    angle,         ///< Of an inertia [rad]
    speed,         ///< Of an inertia [rad/s]
    acceleration,  ///< Of an inertia [rad/s²]
    twist,         ///< Of an element [rad]
    twist_rate,    ///< Of an element [rad/s]
    torque,        ///< Of an element [N m]
};

[[nodiscard]] constexpr bool of_inertia(Observed observed) {
    return observed == Observed::angle || observed == Observed::speed ||
           observed == Observed::acceleration;
}

/// What is observed, and where: index of an inertia, or in Linearised::elements.
struct Pickup {
    Observed observed = Observed::speed;
    std::size_t index = 0;
};

/// The complex amplitude at `pickup` when the inertias swing with the angles Θ [rad] at the
/// circular frequency ω [rad/s]: iωΘ, −ω²Θ, gᵀΘ, iω·gᵀΘ or (k + iωc)·gᵀΘ.
/// Throws ModelError if the index points nowhere.
[[nodiscard]] std::complex<double> amplitude_at(const Pickup& pickup, const Linearised& linear,
                                                const Eigen::VectorXcd& angles, double frequency);

/// Responses to swinging torques, frequency by frequency. One factorisation each serves every
/// torque and every pickup.
class Transfer {
  public:
    explicit Transfer(const Linearised& linear);  ///< Copies `linear`.

    /// Throws ModelError unless the circular frequency is > 0 [rad/s].
    void set(double frequency) { stiffness_.set(frequency); }
    /// Angles under 1 N m on an inertia. Throws ModelError if there is no such inertia.
    [[nodiscard]] Eigen::VectorXcd angles(std::size_t inertia) const;
    /// Angles under a torque on every inertia [N m].
    [[nodiscard]] Eigen::VectorXcd angles(const Eigen::VectorXcd& torque) const {
        return stiffness_.angles(torque);
    }
    /// Amplitude at `to` per N m on the inertia `from`.
    [[nodiscard]] std::complex<double> between(std::size_t from, const Pickup& to) const {
        return amplitude_at(to, linear_, angles(from), stiffness_.frequency());
    }
    /// Amplitude at `to` under a torque on every inertia [N m].
    [[nodiscard]] std::complex<double> between(const Eigen::VectorXcd& torque,
                                               const Pickup& to) const {
        return amplitude_at(to, linear_, angles(torque), stiffness_.frequency());
    }
    [[nodiscard]] const Linearised& linear() const { return linear_; }

  private:
    Linearised linear_;
    DynamicStiffness stiffness_;
};

/// H(iω) from a torque on the inertia `from` to `to`, at each circular frequency [rad/s].
[[nodiscard]] std::vector<std::complex<double>> transfer_function(
    const Linearised& linear, std::size_t from, const Pickup& to,
    std::span<const double> frequencies);

}  // namespace damper
