// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/measures/run_sample.hpp"
#include "libdamper/measures/stage_use.hpp"
#include "libdamper/signals/running_statistics.hpp"

namespace damper {

/// How a two-mass flywheel is used: twist, share of time in the free angle, on each stage and at
/// the stops, contacts with the stops; in a passage also the engine speed of the largest twist.
/// Tells nothing of a solid flywheel.
class FlywheelTwist {
  public:
    explicit FlywheelTwist(const std::vector<RunFacts::Stage>& stages = {})
        : stages_(twist_ranges(stages)) {}

    void add(const RunSample& sample);
    /// The sample that ends the measured time and is its first one again.
    void close(const RunSample& sample);
    /// `step` is the spacing of the samples [s].
    void tell(const RunFacts& facts, double step, Measured& measured) const;

  private:
    RunningStatistics twist_;
    StageCounter stages_;
    double samples_ = 0.0;
    double largest_ = 0.0, largest_speed_ = 0.0;
};

}  // namespace damper
