// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/signals/signal_set.hpp"
#include "libdamper/solvers/solver.hpp"

namespace damper {

/// Turns samples of a solver into the signals that every run records (see RunFacts for their
/// names). Angles are deviations' differences, speeds are total.
class Recorder final : public Sink {
  public:
    /// Keeps a reference; `assembled` must outlive it. `samples` is how many to expect.
    Recorder(const Assembled& assembled, std::size_t samples);

    void sample(const Instant& instant) override;

    [[nodiscard]] SignalSet take();

  private:
    void add(std::size_t signal, double value) { set_.signals[signal].values.push_back(value); }
    [[nodiscard]] double total_speed(int mass, const Instant& instant) const;

    const Assembled& assembled_;
    SignalSet set_;
    bool in_gear_;
};

}  // namespace damper
