// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/engine_orders.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/measures/run_sample.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

/// What of the engine's swing reaches the gearbox input at idle: acceleration at the firing order,
/// its peak, and the ratio to the flywheel.
class Isolation {
  public:
    void add(const RunSample& sample) {
        any_ = true;
        peak_ = std::max(peak_, std::abs(sample.input_shaft_acceleration));
    }
    void tell(const EngineOrders& orders, Measured& measured) const;

  private:
    bool any_ = false;
    double peak_ = 0.0;
};

}  // namespace damper
