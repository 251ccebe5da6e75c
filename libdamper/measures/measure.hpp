// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace damper {

/// Which way is better for a measure.
enum class Better { less, more, neither };

/// One number taken from a run, with its meaning.
struct MeasureValue {
    std::string name;        ///< Stable key: "impact_energy_rate".
    std::string units;       ///< Readable by UDUNITS.
    std::string definition;  ///< In words: what, over which part of the run.
    Better better = Better::neither;
    double value = 0.0;
};

}  // namespace damper
