// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/stacked.hpp"
#include "libdamper/solvers/exact/kernel.hpp"
#include "libdamper/solvers/exact/torque_series.hpp"

#include <cstddef>
#include <span>
#include <vector>

namespace damper {

/// The inertias that are coupled right now, moved together as power series over a step.
///
/// Between mode changes the line is linear, so the series follow from their own start: with the
/// step normalised to s = 0…1 and α = −K·θ − C·ω + d (all divided by the inertias),
///
///     θ_{k+1} = h·ω_k/(k + 1),     ω_{k+1} = h·α_k/(k + 1).
///
/// They are carried until nothing is left to add, so a step has no error but rounding, whatever
/// its length; the length only decides how many orders that takes.
class CoreMotion {
  public:
    static constexpr std::size_t most_orders = 36;

    CoreMotion(const Stacked& stacked, std::vector<TorqueSeries>& inputs);

    /// Takes these inertias as the core, with the branches that act on them.
    void choose(std::span<const std::size_t> masses, std::span<const std::size_t> branches);
    /// Takes the present coefficients of the branches (after a mode change inside the core).
    void refresh();

    /// Expands from these angles and speeds (deviations, of all inertias) at time t over at most
    /// `h` [s], halving it until the series is complete. `speed_scale` [rad/s] is what rounding is
    /// judged against. Returns the step that was kept.
    double expand(double t, double h, std::span<const double> angle, std::span<const double> speed,
                  double speed_scale);

    /// Largest rate at which anything in the core changes [1/s].
    [[nodiscard]] double quickest() const { return quickest_; }
    [[nodiscard]] bool contains(std::size_t mass) const { return place_[mass] >= 0; }
    [[nodiscard]] std::span<const std::size_t> masses() const { return masses_; }
    [[nodiscard]] std::size_t orders() const { return orders_; }

    /// Coefficient k of an inertia's angle and speed over the step.
    [[nodiscard]] double theta(std::size_t k, std::size_t mass) const {
        return theta_[k * width() + static_cast<std::size_t>(place_[mass])];
    }
    [[nodiscard]] double omega(std::size_t k, std::size_t mass) const {
        return omega_[k * width() + static_cast<std::size_t>(place_[mass])];
    }
    /// Bound of an inertia's |acceleration| over the step [rad/s²].
    [[nodiscard]] double acceleration_bound(std::size_t mass) const;

    /// Angles and speeds of the core at s, written into full-length vectors.
    void at(double s, std::span<double> angle, std::span<double> speed) const;
    /// Speeds of the core at s, written into a full-length vector.
    void speeds_at(double s, std::span<double> speed) const;
    /// Accelerations of the core at s [rad/s²].
    void acceleration_at(double s, std::span<double> acceleration) const;

    [[nodiscard]] const Kernel& kernel() const { return kernel_; }

  private:
    [[nodiscard]] std::size_t width() const { return width_; }
    void load(double t, double h, std::span<const double> angle, std::span<const double> speed,
              double speed_scale);
    void add_constants(std::size_t order, double t, double h);
    void add_inputs(std::size_t order);
    [[nodiscard]] bool negligible(std::size_t order, double speed_scale) const;

    const Stacked* stacked_;
    std::vector<TorqueSeries>* inputs_;
    Kernel kernel_;
    std::vector<std::size_t> masses_, branches_;
    std::vector<int> place_;  ///< Of each inertia in the core; −1 outside.
    std::size_t width_ = 4, orders_ = 0;
    std::vector<double> k_, c_, inverse_inertia_;
    std::vector<double> d0_;       ///< Constant part of α at time 0 [rad/s²].
    std::vector<double> d_drift_;  ///< Its growth with time, from springs against a drift [rad/s³].
    std::vector<double> theta_, omega_, alpha_;
    std::vector<double> input_theta_;
    double h_ = 0.0;
    double quickest_ = 0.0;
};

}  // namespace damper
