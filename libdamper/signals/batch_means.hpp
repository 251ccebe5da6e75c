// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace damper {

/// How far from a mean Student's t distribution with `degrees` of freedom reaches to both sides
/// with probability `confidence`: 2.262 for 0.95 and 9. `degrees` ≥ 1, 0 < confidence < 1.
[[nodiscard]] double student_t(double confidence, double degrees);

/// Rates of what happens in an unsteady or chaotic motion, with how certain they are: the method of
/// batch means. Sums over successive batches of cycles are kept, never more than `most` of them:
/// when they are full, neighbours are joined two by two. Memory and work do not grow with the run.
///
/// The rate of a quantity is Σ amounts/Σ durations over the whole batches. What batches miss of it,
/// e = amount − rate·duration, scatters about 0; its standard deviation over √batches gives the
/// half width of the confidence interval with Student's t. That holds if the batches do not hang
/// together. They are joined two by two until the lag-1 correlation of e is not significant by von
/// Neumann's ratio: C = 1 − Σ(e_i − e_(i+1))²/(2·Σ(e_i − ē)²) is near normal with variance (n −
/// 2)/(n² − 1) if nothing hangs together; one-sided test at 5 %. More than `most_used` batches are
/// joined further, fewer than `fewest_used` give no interval.
///
/// Sources, all recalled: A. M. Law, Simulation Modeling and Analysis, McGraw-Hill, chapter on
/// output data analysis (batch means, ratio estimator); G. S. Fishman (1978), Grouping observations
/// in digital simulation, Management Science 24, 510–521 (the test); B. Schmeiser (1982), Batch
/// size effects in the analysis of simulation output, Operations Research 30, 556–568 (10 to 30
/// batches).
class BatchMeans {
  public:
    static constexpr std::int64_t most = 128;
    static constexpr std::int64_t most_used = 31;
    static constexpr std::int64_t fewest_used = 10;

    explicit BatchMeans(std::size_t quantities = 1);

    /// Adds to a quantity in a cycle, counted from 0: one that is over, the one going on or the
    /// next.
    void add(std::size_t quantity, std::int64_t cycle, double amount);
    /// The cycle going on is over; it lasted `duration` > 0.
    void close(double duration);

    /// Whole cycles so far.
    [[nodiscard]] std::int64_t cycles() const { return cycles_; }
    /// Whole batches that are kept, and the cycles in each.
    [[nodiscard]] std::int64_t batches() const { return cycles_ / per_batch_; }
    [[nodiscard]] std::int64_t cycles_per_batch() const { return per_batch_; }

    struct Estimate {
        double rate = 0.0;  ///< Over the whole batches that were used; 0 without any.
        /// There are enough batches that do not hang together: `half_width` is meant.
        bool certain = false;
        double half_width = 0.0;  ///< Of the confidence interval.
        std::int64_t batches = 0;
        std::int64_t cycles_per_batch = 0;
        /// Half of what the rates of single batches range over, with most_used of them at most: an
        /// interval on the safe side also where they hang together (a slow drift).
        double half_range = 0.0;
    };
    [[nodiscard]] Estimate estimate(std::size_t quantity, double confidence = 0.95) const;

  private:
    void join();

    std::int64_t cycles_ = 0;
    std::int64_t per_batch_ = 1;
    std::vector<double> duration_;             ///< Of each batch.
    std::vector<std::vector<double>> amount_;  ///< Of each quantity in each batch.
};

}  // namespace damper
