// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/elements/torque_source.hpp"
#include "libdamper/solvers/exact/kernel.hpp"

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
    static constexpr std::size_t most_orders = 48;  ///< Of the motion beside it.

    TorqueSeries(TorqueSource source, const Kernel& kernel);

    /// Highest frequency in the torque at crank speed `speed` [rad/s]; bounds the step.
    [[nodiscard]] double quickest(double speed) const;

    /// A step of length h [s] begins at time t with this total angle [rad] and speed [rad/s].
    /// Terms below `negligible` [N m] are left out.
    void begin(double t, double h, double angle, double speed, double negligible);

    /// Orders from here on are zero, whatever the motion: nothing more need be asked for.
    [[nodiscard]] std::size_t end() const { return end_; }

    /// Coefficient of order k in N m·s^k (s runs 0…1 over the step). Orders must be asked for one
    /// after the other, `theta` being the same order of the crank's angle.
    [[nodiscard]] double coefficient(std::size_t k, double theta) {
        count_ = k + 1;
        if (crank_ != nullptr && k >= 2) add_rest(k, theta);
        return out_[k];
    }

    /// Whether, as far as is known, a coefficient of order k or above still moves something.
    [[nodiscard]] bool has_more(std::size_t k) const;
    /// Whether the step was short enough for what the torque's series leaves out: a crank must not
    /// depart too far from its speed at the start.
    [[nodiscard]] bool complete() const;

    /// Coefficients asked for so far.
    [[nodiscard]] std::span<const double> so_far() const { return {out_.data(), count_}; }
    /// Slope of the torque over the crank's angle over the step, along its speed at the start
    /// [N m/rad]; empty for torques that do not depend on the angle.
    [[nodiscard]] std::span<const double> slope_along();

  private:
    void begin_crank(double h, double angle, double speed);
    void begin_constant();
    void begin_ramp(double t, double h);
    void begin_recorded(double t, double h);
    void begin_sine(double t, double h);
    void turn_harmonics(double angle);
    void add_rest(std::size_t k, double theta);
    void add_fourfold(std::size_t k, std::size_t i, std::size_t j, double theta);
    void add_along(std::size_t row, double factor, double room, std::size_t from);

    static constexpr std::size_t derivatives = 36;
    TorqueSource source_;
    const CrankTorque* crank_ = nullptr;
    Kernel::Derivatives sum_derivatives_;
    int base_half_orders_ = 1;  ///< Common divisor of all harmonics, in half orders.
    std::vector<int> steps_;    ///< From one harmonic to the next, in units of the divisor.
    std::vector<double> minus_square_, even_, odd_;     ///< Of the harmonics, filled up to fours.
    double slope_room_ = 0.0;                           ///< Σ order·amplitude [N m]
    double fifth_room_ = 0.0;                           ///< Σ order⁵·amplitude [N m]
    std::array<double, derivatives + 2> derivative_{};  ///< Of T over the crank's angle.
    std::array<double, derivatives> power_{};           ///< (speed·h)^k/k!
    std::array<double, derivatives> room_{};  ///< Bounds of T^(1 + k)·power_k, falling in the end.
    double highest_ = 0.0;                    ///< Order of the last harmonic.
    double negligible_ = 0.0;                 ///< [N m]
    std::array<double, most_orders> eps_{};
    std::size_t eps_last_ = 0;  ///< Last order of ε that still counts.
    double largest_eps_ = 0.0;
    /// What is known of the torque's coefficients so far; with room for what the last ε adds.
    std::array<double, 4 * most_orders> out_{};
    std::array<double, derivatives> slope_{};
    std::size_t count_ = 0, end_ = 0, terms_ = 0;
};

}  // namespace damper
