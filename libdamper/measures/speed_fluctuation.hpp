// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/engine_orders.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/measures/run_sample.hpp"
#include "libdamper/signals/running_statistics.hpp"

namespace damper {

/// How unevenly flywheel and gearbox input turn at idle: peak to peak, rms and firing order, and
/// the half order of the flywheel.
class SpeedFluctuation {
  public:
    void add(const RunSample& sample) {
        flywheel_.add(sample.flywheel_speed);
        input_.add(sample.input_shaft_speed);
    }
    void tell(const EngineOrders& orders, Measured& measured) const;

  private:
    RunningStatistics flywheel_, input_;
};

}  // namespace damper
