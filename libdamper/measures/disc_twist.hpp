// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/measures/stage_use.hpp"
#include "libdamper/signals/running_statistics.hpp"

namespace damper {

/// How the disc is used: twist, share of time per stage and stop, changes of stage, contacts with
/// the stops. Fills `Measured::stage_use`.
class DiscTwist {
  public:
    explicit DiscTwist(const std::vector<RunFacts::Stage>& stages = {})
        : stages_(twist_ranges(stages)) {}

    void add(double twist) {
        twist_.add(twist);
        close(twist);
    }
    /// The sample that ends the measured time and is its first one again: it closes an interval but
    /// counts in no mean.
    void close(double twist) {
        stages_.add(twist);
        samples_ += 1.0;
    }
    /// `step` is the spacing of the samples [s].
    void tell(const RunFacts& facts, double step, Measured& measured) const;

  private:
    void tell_stages(const RunFacts& facts, double step, Measured& measured) const;

    RunningStatistics twist_;
    StageCounter stages_;
    double samples_ = 0.0;  ///< Both ends of the measured time included.
};

}  // namespace damper
