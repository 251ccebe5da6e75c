// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/elements/smooth_law.hpp"

#include <array>
#include <cstddef>
#include <span>

namespace damper {

/// The torque of a smooth law over a step as a power series, built order by order beside the
/// motion.
///
/// The laws are products, quotients and tanh of series of speeds, and each of these has its
/// recurrence: with y = tanh x and u = 1 − y²,
///
///     k·y_k = Σ_{j<k} u_j·(k − j)·x_{k−j}
///
/// so that a smooth law costs no accuracy, only a few sums over the orders so far.
class SmoothSeries {
  public:
    static constexpr std::size_t most_orders = 48;

    explicit SmoothSeries(SmoothLaw law);

    /// A step begins.
    void begin() { count_ = 0; }

    /// Coefficient of order k of the torque [N m] from those of the rate and of the reference speed
    /// [rad/s]. Orders must be asked for one after the other.
    double coefficient(std::size_t k, double rate, double reference);

    [[nodiscard]] std::span<const double> so_far() const { return {out_.data(), count_}; }
    /// Coefficients of the rate asked with so far.
    [[nodiscard]] std::span<const double> rates() const { return {rate_.data(), count_}; }

    /// Whether the step, taken from its beginning to its end, stays on one branch of the law: the
    /// rate and the reference keep their side of the law's kinks (the sign of the rate, the lowest
    /// speed of a tyre), and a tanh taken as saturated stays so. If not, the step must be cut.
    [[nodiscard]] bool stays() const;

  private:
    using Row = std::array<double, most_orders>;
    double road_load(std::size_t k);
    double tyre_slip(std::size_t k);
    double tanh_of(std::size_t k);

    SmoothLaw law_;
    Row rate_{}, reference_{}, x_{}, y_{}, u_{}, quotient_{}, out_{};
    std::size_t count_ = 0;
    bool saturated_ = false;  ///< |x| so large that tanh is ±1 to the last bit.
    bool slow_ = false;       ///< Tyre below its lowest speed.
};

}  // namespace damper
