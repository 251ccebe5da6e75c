// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/elements/torque_source.hpp"
#include "libdamper/solvers/exact/kernel.hpp"

#include <array>
#include <cstddef>
#include <memory>
#include <span>
#include <vector>

namespace damper {

class SpeedTorqueSeries;

/// The torque of one source over a step as a power series, built order by order beside the motion
/// of its inertia.
///
/// A harmonic of a crank-angle torque, A = c·cos(nθ) + s·sin(nθ), and its quadrature
/// B = s·cos(nθ) − c·sin(nθ) obey A' = nθ'·B and B' = −nθ'·A. Their coefficients follow from
/// those of the angle, whatever the crank does: no mean speed is assumed.
class TorqueSeries {
  public:
    static constexpr std::size_t most_orders = 48;  ///< Of the motion beside it.

    TorqueSeries(TorqueSource source, const Kernel& kernel);
    TorqueSeries(TorqueSeries&&) noexcept;
    ~TorqueSeries();

    /// Takes another crank-angle torque of the same orders in the place of the one it has.
    void retune(const CrankTorque& torque);

    /// Highest frequency in the torque at crank speed `speed` [rad/s]; bounds the step.
    [[nodiscard]] double quickest(double speed) const;

    /// A step of length h [s] begins at time t with this total angle [rad] and speed [rad/s].
    /// Terms below `negligible` [N m] are left out.
    void begin(double t, double h, double angle, double speed, double negligible);

    /// By how much the quickest harmonic turns in the step, as far as is known [rad].
    [[nodiscard]] double phase() const { return phase_; }

    /// Whether the step keeps to one piece of a torque over speed. If not, it must be cut.
    [[nodiscard]] bool stays() const;

    /// Orders from here on are zero, whatever the motion: nothing more need be asked for.
    [[nodiscard]] std::size_t end() const { return end_; }

    /// Coefficient of order k in N m·s^k (s runs 0…1 over the step). Orders must be asked for one
    /// after the other, `theta` and `omega` being the same order of the deviations of the crank's
    /// angle and speed.
    [[nodiscard]] double coefficient(std::size_t k, double theta, double omega) {
        count_ = k + 1;
        if (over_speed_ != nullptr) {
            add_order_over_speed(k, theta, omega);
        } else if (crank_ != nullptr && k >= 1) {
            add_order(k, theta);
        }
        return out_[k];
    }

    /// Coefficients asked for so far.
    [[nodiscard]] std::span<const double> so_far() const { return {out_.data(), count_}; }
    /// Slope of the torque over the crank's angle along the step [N m/rad], as far as it was asked
    /// for; empty for torques that do not depend on the angle.
    [[nodiscard]] std::span<const double> slope_along() const {
        return {slope_.data(), crank_ == nullptr ? 0 : count_};
    }

  private:
    void begin_crank(double h, double angle, double speed);
    void begin_constant();
    void begin_ramp(double t, double h);
    void begin_recorded(double t, double h);
    void begin_sine(double t, double h);
    void add_order(std::size_t k, double theta);
    void add_order_over_speed(std::size_t k, double theta, double omega);

    TorqueSource source_;
    const CrankTorque* crank_ = nullptr;
    std::unique_ptr<SpeedTorqueSeries> over_speed_;
    Kernel::Harmonics next_order_;
    int base_half_orders_ = 1;    ///< Common divisor of all harmonics, in half orders.
    std::vector<int> steps_;      ///< From one harmonic to the next, in units of the divisor.
    std::vector<double> orders_;  ///< Of the harmonics, filled up to fours.
    std::vector<double> a_, b_;   ///< Coefficients of harmonics and quadratures, order by order.
    double highest_ = 0.0;        ///< Order of the last harmonic.
    double slope_room_ = 0.0;     ///< Σ order·amplitude [N m]
    double negligible_ = 0.0;     ///< [N m]
    double turn_ = 0.0;           ///< Of the crank at its speed at the start [rad].
    double phase_ = 0.0;          ///< Of the quickest harmonic meanwhile [rad].
    std::array<double, most_orders> angle_{};  ///< k·(coefficient k of the angle) [rad]
    std::size_t last_ = 0;                     ///< Last order of the angle that counts.
    std::size_t quiet_ = 0;                    ///< Orders in a row that do not count.
    std::array<double, most_orders> out_{}, slope_{};
    std::size_t count_ = 0, end_ = 0;
};

}  // namespace damper
