// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/measures/run_sample.hpp"
#include "libdamper/solvers/solver.hpp"

#include <string>
#include <vector>

namespace damper {

/// Reads in the trade's words what a solver shows at an instant, and watches that nothing comes to
/// rest: an engine that stalls, a vehicle that rolls back. The model has no answer to what comes
/// then.
class RunSampler {
  public:
    /// Keeps a reference; `assembled` must outlive it.
    explicit RunSampler(const Assembled& assembled);

    /// False once something that turned at the start stands still or turns back; the sample then
    /// stays what it was. An engine that starts or stops may rest.
    bool read(const Instant& instant);
    [[nodiscard]] const RunSample& sample() const { return sample_; }
    [[nodiscard]] const Assembled& assembled() const { return assembled_; }

    [[nodiscard]] bool came_to_rest() const { return !rested_.empty(); }
    /// "engine" or "vehicle".
    [[nodiscard]] const std::string& what_rested() const { return rested_; }
    [[nodiscard]] double rested_at() const { return rested_at_; }  ///< [s]
    /// The vehicle has the speed at which the run is over.
    [[nodiscard]] bool arrived() const { return arrived_; }

    [[nodiscard]] double total_speed(int mass, const Instant& instant) const;

  private:
    void read_clutch(const Instant& instant);
    void watch(const char* what, int mass, const Instant& instant);

    const Assembled& assembled_;
    std::vector<std::size_t> disc_;  ///< Branches whose twists make up the disc's.
    RunSample sample_;
    std::string rested_;
    double rested_at_ = 0.0;
    bool arrived_ = false;
    double end_side_ = 0.0;  ///< +1: the end is reached from below, −1: from above.
};

}  // namespace damper
