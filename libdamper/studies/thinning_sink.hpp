// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/results/baseline.hpp"
#include "libdamper/studies/measuring_sink.hpp"

#include <cstddef>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// The signals that may be kept, with their units.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> baseline_signals();

/// Takes the measures while a solver runs, and keeps every n-th sample of those signals that come
/// out alike when the run is made again elsewhere. At idle and in creep loose gears rattle for
/// seconds and lose every trace of the start: none. In sweeps, starts and stops they shake the
/// twists, but hardly the speeds. After a change of torque: all.
class ThinningSink final : public Sink {
  public:
    /// Keeps references. Of the samples, about `length / sample_step`, at most `most` are kept.
    ThinningSink(const Assembled& assembled, RunMeasures& measures, const RunFacts& facts,
                 double sample_step, std::size_t most);

    void sample(const Instant& instant) override;
    void impact(const Impact& impact) override { inner_.impact(impact); }

    [[nodiscard]] const RunSampler& sampler() const { return inner_.sampler(); }
    /// Moves the kept samples into a baseline.
    void give(Baseline& baseline);

  private:
    MeasuringSink inner_;
    std::size_t stride_ = 0;
    std::size_t seen_ = 0;
    std::vector<double> time_;
    std::vector<BaselineSignal> signals_;
};

}  // namespace damper
