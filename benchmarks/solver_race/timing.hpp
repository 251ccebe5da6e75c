// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <functional>
#include <vector>

namespace damper::benchmarks {

/// Processor time of this thread so far [s].
[[nodiscard]] double processor_time();

/// Processor time of all threads of this process so far [s].
[[nodiscard]] double process_time();

/// Time that passes for everybody [s].
[[nodiscard]] double wall_time();

/// How often is measured.
struct Rounds {
    std::size_t most = 5;
    std::size_t least = 3;
    double budget = 1.0;     ///< Processor time that one work may take in all, beyond `least` [s].
    double shortest = 5e-3;  ///< A work is repeated within a round until it took this long [s].
};

/// Median processor time of each work [s], measured in rounds in which each takes its turn, so
/// that what else the machine does falls on all of them alike.
[[nodiscard]] std::vector<double> interleaved_medians(
    const std::vector<std::function<void()>>& works, const Rounds& rounds);

}  // namespace damper::benchmarks
