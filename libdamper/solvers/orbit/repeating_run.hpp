// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/solvers/orbit/periodic_balance.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace damper {

struct RepeatSettings {
    int settling = 30;     ///< Periods of the first harmonic run through before looking, ≥ 0.
    int most_periods = 8;  ///< After which a motion may repeat, ≥ 1; twice as many are looked at.
    double same = 1e-3;    ///< What may change, of the swing.
    std::vector<std::size_t> watched;  ///< Inertias whose speeds are compared.
};

/// After how many periods a run of the exact solver repeats.
struct RepeatingRun {
    std::string why_not;  ///< Empty if the run came to its end.
    int periods = 0;      ///< The smallest number after which the motion is the same; 0: none.
    /// The largest change of a watched speed after that number of periods, root mean square, of its
    /// own swing about its mean (or of a thousandth of the largest swing); of the number after
    /// which it changes least where none repeats.
    double change = 0.0;
    int nearest = 1;  ///< The number of periods that `change` belongs to.
    State start;      ///< Where looking began: from here a run goes on.
};

/// Runs through the problem's periods from `start`, whose time is a whole number of periods. A
/// mean speed that still drifts is taken off. Throws ModelError if there is nothing to watch.
[[nodiscard]] RepeatingRun find_repeat(const PeriodicProblem& problem, const State& start,
                                       const RepeatSettings& settings);

}  // namespace damper
