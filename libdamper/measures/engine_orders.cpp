// SPDX-License-Identifier: MIT
#include "libdamper/measures/engine_orders.hpp"

#include <cmath>
#include <complex>

namespace damper {

EngineOrders::EngineOrders(double firing_order)
    : order_(firing_order), half_orders_(static_cast<int>(std::lround(2.0 * firing_order))) {}

void EngineOrders::add(const RunSample& sample) {
    if (cycles_.completes(sample.crank_angle)) whole_ = now_;
    const std::complex<double> half(std::cos(0.5 * sample.crank_angle),
                                    std::sin(0.5 * sample.crank_angle));
    const std::complex<double> firing = turned(half, half_orders_);
    now_.firing.add(firing);
    now_.flywheel_speed.add(sample.flywheel_speed, firing);
    now_.input_speed.add(sample.input_shaft_speed, firing);
    now_.flywheel_bend.add(sample.flywheel_acceleration, firing);
    now_.input_bend.add(sample.input_shaft_acceleration, firing);
    now_.half.add(half);
    now_.flywheel_half.add(sample.flywheel_speed, half);
    half_.add(sample.crank_angle, sample.flywheel_speed, half);
}

void EngineOrders::finish() {
    if (cycles_.complete_at_end()) whole_ = now_;
    half_.finish();
}

double EngineOrders::mean_speed() const {
    return any() ? whole_.flywheel_speed.v / whole_.firing.count : 0.0;
}

double EngineOrders::firing(const OrderSums& sums) const {
    return amplitude(whole_.firing, sums, order_ * cycles_.mean_step());
}

double EngineOrders::flywheel_speed_half_order() const {
    const double turn = 0.5 * cycles_.mean_step();
    return half_.any() ? half_.amplitude(turn) : amplitude(whole_.half, whole_.flywheel_half, turn);
}

}  // namespace damper
