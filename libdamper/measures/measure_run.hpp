// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measure.hpp"
#include "libdamper/signals/event_table.hpp"
#include "libdamper/signals/signal_set.hpp"
#include "libdamper/signals/spectrum.hpp"

namespace damper {

/// All that is measured of a run.
struct Measured {
    std::vector<MeasureValue> measures;
    std::vector<OrderSpectrum> spectra;  ///< Idle only: flywheel and input shaft acceleration.
};

/// Takes the measures that belong to the manoeuvre in `facts`. A run that ended early gives the
/// measures that its length still allows.
[[nodiscard]] Measured measure_run(const RunFacts& facts, const SignalSet& signals,
                                   const EventTable& events);

}  // namespace damper
