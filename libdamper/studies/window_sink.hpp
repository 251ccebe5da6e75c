// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/rattle_certainty.hpp"
#include "libdamper/studies/run_sampler.hpp"

namespace damper {

/// Stands between a solver and the sink of a run: lets through what belongs to the run, up to its
/// end or until enough is known of it, and counts what the decision needs. What it decides depends
/// on the motion alone.
class WindowSink final : public Sink {
  public:
    /// Keeps references; `sampler` is the one that `inner` reads with. What begins at `end` [s] or
    /// later does not belong to the run. `share`: see RunSettings::certain.
    WindowSink(Sink& inner, const RunSampler& sampler, RattleCertainty& certainty, double end,
               double slack, double share)
        : inner_(inner),
          sampler_(sampler),
          certainty_(certainty),
          end_(end),
          slack_(slack),
          share_(share) {}

    void sample(const Instant& instant) override;
    void change(const ModeChange& change) override {
        if (change.time < end_) inner_.change(change);
    }
    /// One that began in time belongs to the run even if it ends later.
    void impact(const Impact& impact) override;

    [[nodiscard]] RattleCertainty::Known known() const { return known_; }
    /// Of the run, as far as it is known [s].
    [[nodiscard]] double end() const { return end_; }

  private:
    Sink& inner_;
    const RunSampler& sampler_;
    RattleCertainty& certainty_;
    double end_, slack_, share_;
    RattleCertainty::Known known_ = RattleCertainty::Known::not_yet;
};

}  // namespace damper
