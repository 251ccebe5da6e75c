// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/run_measures.hpp"
#include "libdamper/studies/run_sampler.hpp"

namespace damper {

/// Takes the measures while a solver runs, and stores nothing. Once something has come to rest
/// nothing is measured any more.
class MeasuringSink final : public Sink {
  public:
    /// Keeps references. `measures` must have been started for this run.
    MeasuringSink(const Assembled& assembled, RunMeasures& measures)
        : sampler_(assembled), measures_(measures) {}

    void sample(const Instant& instant) override {
        if (sampler_.read(instant)) measures_.sample(sampler_.sample());
    }
    void impact(const Impact& impact) override {
        if (!sampler_.came_to_rest()) measures_.impact(impact);
    }

    [[nodiscard]] const RunSampler& sampler() const { return sampler_; }

  private:
    RunSampler sampler_;
    RunMeasures& measures_;
};

}  // namespace damper
