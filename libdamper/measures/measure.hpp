// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <optional>
#include <string>

namespace damper {

/// Which way is better for a measure.
enum class Better { less, more, neither };

/// How certain a number is that scatters from one part of a run to the next: with probability
/// `confidence` the value of an endless run lies no farther away than `half_width`.
struct Certainty {
    double half_width = 0.0;  ///< In the units of the measure.
    double confidence = 0.95;
    /// Batches of the run that were held against each other; 0: none, because the motion repeats
    /// and was measured over whole periods, so that the number is exact.
    std::int64_t batches = 0;
    std::int64_t cycles_per_batch = 0;  ///< Engine cycles.
};

/// One number taken from a run, with its meaning.
struct MeasureValue {
    std::string name;        ///< Stable key: "impact_energy_rate".
    std::string units;       ///< Readable by UDUNITS.
    std::string definition;  ///< In words: what, over which part of the run.
    Better better = Better::neither;
    double value = 0.0;
    std::optional<Certainty> certainty = std::nullopt;  ///< Where it can be told.
};

}  // namespace damper
