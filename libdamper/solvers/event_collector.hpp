// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/solvers/solver.hpp"

namespace damper {

/// Keeps every event of a run; hands samples on to another sink, if there is one.
class EventCollector final : public Sink {
  public:
    explicit EventCollector(const Driveline& line, Sink* samples = nullptr);

    void sample(const Instant& instant) override;
    void change(const ModeChange& change) override { table_.changes.push_back(change); }
    void impact(const Impact& impact) override { table_.impacts.push_back(impact); }

    /// The names, and what has happened so far in order of time.
    [[nodiscard]] EventTable take();

  private:
    EventTable table_;
    Sink* samples_;
};

}  // namespace damper
