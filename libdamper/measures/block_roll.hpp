// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/signals/running_statistics.hpp"

namespace damper {

/// How the power unit rolls on its mounts: swing about its mean, from end to end, contacts with the
/// stops of the mounts. Tells nothing of one that cannot roll.
class BlockRoll {
  public:
    explicit BlockRoll(const RunFacts& facts = {});

    void add(double roll);
    /// The sample that ends the measured time and is its first one again.
    void close(double roll);
    /// `step` is the spacing of the samples [s].
    void tell(double step, Measured& measured) const;

  private:
    bool rolls_;
    double drive_stop_, coast_stop_;
    RunningStatistics roll_;
    double samples_ = 0.0, at_stop_ = 0.0, contacts_ = 0.0;
    bool stopped_ = false;
};

}  // namespace damper
