// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/run_sample.hpp"
#include "libdamper/signals/order_fit.hpp"

namespace damper {

/// The orders that measures of an idle run ask for, fitted over the actual crank angle while the
/// run goes: firing order of both speeds and both accelerations, order one half of the flywheel.
/// Only whole engine cycles count, from the first sample on. A drift of the mean speed is kept out
/// of order one half where there are three cycles at least.
class EngineOrders {
  public:
    /// `firing_order` is a multiple of one half.
    explicit EngineOrders(double firing_order = 0.5);

    void add(const RunSample& sample);
    /// Takes a last cycle in that ends with the last sample.
    void finish();

    /// False if the samples do not fill one engine cycle: then everything below is 0.
    [[nodiscard]] bool any() const { return whole_.firing.count > 0.0; }
    /// Mean of the flywheel speed [rad/s].
    [[nodiscard]] double mean_speed() const;
    /// Amplitudes, 0 to peak.
    [[nodiscard]] double flywheel_speed() const { return firing(whole_.flywheel_speed); }
    [[nodiscard]] double input_shaft_speed() const { return firing(whole_.input_speed); }
    [[nodiscard]] double flywheel_acceleration() const { return firing(whole_.flywheel_bend); }
    [[nodiscard]] double input_shaft_acceleration() const { return firing(whole_.input_bend); }
    [[nodiscard]] double flywheel_speed_half_order() const;

  private:
    struct Sums {
        OrderBasis firing, half;
        OrderSums flywheel_speed, input_speed, flywheel_bend, input_bend, flywheel_half;
    };
    [[nodiscard]] double firing(const OrderSums& sums) const;

    double order_;
    int half_orders_;
    WholeCycles cycles_;
    Sums now_, whole_;
    DriftFreeHalfOrder half_;
};

}  // namespace damper
