// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/elements/torque_source.hpp"

#include <array>
#include <cstddef>
#include <span>
#include <vector>

namespace damper {

/// The torque of one source over a step as a power series, built order by order beside the motion
/// of its inertia.
///
/// A crank-angle torque is expanded about the angle that the crank would reach at its present
/// speed; the small rest ε of the angle (what acceleration adds) enters as T + T'·ε + T''·ε²/2 +
/// T'''·ε³/6. No mean speed is assumed.
class TorqueSeries {
  public:
    static constexpr std::size_t most_orders = 40;  ///< Of the motion beside it.

    explicit TorqueSeries(TorqueSource source);

    /// Highest frequency in the torque at crank speed `speed` [rad/s]; bounds the step.
    [[nodiscard]] double quickest(double speed) const;

    /// A step of length h [s] begins at time t with this total angle [rad] and speed [rad/s].
    /// Terms below `negligible` [N m] are left out.
    void begin(double t, double h, double angle, double speed, double negligible);

    /// Coefficient of order k in N m·s^k (s runs 0…1 over the step). Orders must be asked for one
    /// after the other; `angle_coefficient(k)` of the crank's motion are needed up to order k and
    /// are handed in as `theta` (theta[k], k ≥ 2, normalised to the step).
    [[nodiscard]] double coefficient(std::size_t k, std::span<const double> theta);

    /// Coefficients asked for so far.
    [[nodiscard]] std::span<const double> so_far() const { return {out_.data(), count_}; }

  private:
    void begin_crank(double h, double angle, double speed);
    void begin_ramp(double t, double h);
    void begin_sine(double t, double h);
    [[nodiscard]] double crank_coefficient(std::size_t k, std::span<const double> theta);
    void shorten(std::size_t row, double factor);
    void add_powers(std::size_t row, const std::array<double, most_orders>& power, std::size_t k,
                    std::size_t last, double& sum) const;

    static constexpr std::size_t derivatives = 23;
    TorqueSource source_;
    int base_half_orders_ = 1;  ///< Common divisor of all harmonics, in half orders.
    std::vector<int> steps_;    ///< From one harmonic to the next, in units of the divisor.
    /// Series of T, T', T''/2, T'''/6 along the present speed.
    std::array<std::array<double, derivatives>, 4> along_{};
    std::array<std::size_t, 4> used_{};  ///< Terms of these series that still count.
    double negligible_ = 0.0;            ///< [N m]
    std::array<double, most_orders> eps_{}, eps2_{}, eps3_{};
    std::size_t eps_last_ = 0;  ///< Last order of ε that still counts.
    std::array<double, most_orders> out_{};
    std::size_t count_ = 0;
};

}  // namespace damper
