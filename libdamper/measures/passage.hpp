// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/measures/run_sample.hpp"

namespace damper {

/// How an engine that starts or stops passes through the resonances below idle: the largest
/// acceleration of the input shaft and the largest twist of the disc on the way, and the engine
/// speeds at which they come.
class Passage {
  public:
    /// `idle_speed` [rad/s].
    explicit Passage(double idle_speed = 0.0) : idle_speed_(idle_speed) {}

    void add(const RunSample& sample);
    void tell(const RunFacts& facts, Measured& measured) const;

  private:
    struct Largest {
        double size = 0.0;   ///< Magnitude.
        double speed = 0.0;  ///< Of the flywheel then [rad/s].
        void see(double value, double speed_now);
    };
    double idle_speed_;
    Largest acceleration_, twist_;
    double at_idle_ = -1.0;  ///< When the flywheel first had idle speed [s]; −1: never.
    double moved_ = 0.0;     ///< When the flywheel last turned [s].
    double last_ = 0.0;      ///< Time of the last sample [s].
};

}  // namespace damper
