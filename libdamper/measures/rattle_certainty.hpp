// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/signals/batch_means.hpp"
#include "libdamper/signals/event_table.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace damper {

/// How certain the rates of the loose gears' impacts at idle are while a run goes on, by batch
/// means over engine cycles (BatchMeans). Nothing is kept of an impact but sums. An impact counts
/// for the engine cycle in which it touches.
class RattleCertainty {
  public:
    /// `elements` are the names that Impact::element numbers. Without loose gears, or in another
    /// manoeuvre than idle, nothing is counted.
    RattleCertainty(const RunFacts& facts, const std::vector<std::string>& elements);

    /// Samples in order of time; crank angle counted on [rad]. True if an engine cycle of the
    /// measured time has just become whole.
    bool sample(double time, double crank_angle);
    /// Impacts as they end.
    void impact(const Impact& impact);

    /// Engine cycles from here on must be whole before anything is known; a convention of this
    /// tool, as is `decisions`.
    static constexpr std::int64_t fewest_cycles = 32;
    /// Looked at only when the batches are a multiple of this: he who looks all the time meets the
    /// odd narrow interval sooner or later and stops at it.
    static constexpr std::int64_t decisions = 8;

    enum class Known {
        not_yet,
        certain,  ///< Both rates are within the share asked for.
        quiet     ///< No impact at all (slow touches left out, as in impact_rate).
    };
    /// Whether both rates are known to ±`share` of themselves with 95 %, or by the range of their
    /// batches where those hang together.
    [[nodiscard]] Known known(double share) const;

    /// Half of the 95 % confidence interval relative to the rate, the worse of both; infinite if
    /// there is none yet, 0 without impacts.
    [[nodiscard]] double share_reached() const;
    /// Engine cycles that are whole.
    [[nodiscard]] std::int64_t cycles() const { return batches_.cycles(); }

    /// Gives impact_rate and impact_energy_rate their certainty, where there is one. `repeats`: the
    /// motion is periodic and measured over whole periods, so that both are exact.
    void tell(Measured& measured, bool repeats) const;

  private:
    enum Quantity : std::size_t { hits, energy };

    bool counts_ = false;
    double measured_from_ = 0.0;
    std::vector<int> gear_of_element_;
    BatchMeans batches_{2};
    double all_hits_ = 0.0;
    bool started_ = false;
    double first_angle_ = 0.0, bound_ = 0.0;
    double last_time_ = 0.0, last_angle_ = 0.0, cycle_start_ = 0.0;
};

}  // namespace damper
