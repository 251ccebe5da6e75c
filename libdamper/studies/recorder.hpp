// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/signals/signal_set.hpp"
#include "libdamper/solvers/event_collector.hpp"
#include "libdamper/studies/run_sampler.hpp"

namespace damper {

/// Turns samples of a solver into the signals that every stored run has (see RunFacts for their
/// names), and keeps its events. Angles are deviations' differences but for the crank's, speeds are
/// total. Once something has come to rest nothing is recorded any more.
class Recorder final : public Sink {
  public:
    /// Keeps a reference; `assembled` must outlive it. `samples` is how many to expect.
    Recorder(const Assembled& assembled, std::size_t samples);

    void sample(const Instant& instant) override;
    void change(const ModeChange& change) override;
    void impact(const Impact& impact) override;

    [[nodiscard]] SignalSet take_signals();
    [[nodiscard]] EventTable take_events() { return events_.take(); }
    [[nodiscard]] const RunSampler& sampler() const { return sampler_; }

  private:
    void add(std::size_t signal, double value) { set_.signals[signal].values.push_back(value); }

    RunSampler sampler_;
    SignalSet set_;
    EventCollector events_;
};

}  // namespace damper
