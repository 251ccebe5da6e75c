// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/signals/signal_set.hpp"
#include "libdamper/solvers/solver.hpp"

#include <string>

namespace damper {

/// Turns samples of a solver into the signals that every run records (see RunFacts for their
/// names). Angles are deviations' differences, speeds are total.
class Recorder final : public Sink {
  public:
    /// Keeps a reference; `assembled` must outlive it. `samples` is how many to expect.
    Recorder(const Assembled& assembled, std::size_t samples);

    void sample(const Instant& instant) override;

    [[nodiscard]] SignalSet take();

    /// True once something that turned at the start stands still or turns back: an engine that
    /// stalls, a vehicle that rolls back. The model has no answer to what comes then.
    [[nodiscard]] bool came_to_rest() const { return !rested_.empty(); }
    /// "engine" or "vehicle".
    [[nodiscard]] const std::string& what_rested() const { return rested_; }
    [[nodiscard]] double rested_at() const { return rested_at_; }  ///< [s]

  private:
    void add(std::size_t signal, double value) { set_.signals[signal].values.push_back(value); }
    [[nodiscard]] double total_speed(int mass, const Instant& instant) const;
    void watch(const char* what, int mass, const Instant& instant);

    const Assembled& assembled_;
    SignalSet set_;
    bool in_gear_;
    std::string rested_;
    double rested_at_ = 0.0;
};

}  // namespace damper
