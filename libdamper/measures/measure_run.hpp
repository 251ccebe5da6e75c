// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/gear_impacts.hpp"
#include "libdamper/measures/measure.hpp"
#include "libdamper/measures/stage_use.hpp"
#include "libdamper/signals/event_table.hpp"
#include "libdamper/signals/signal_set.hpp"
#include "libdamper/signals/spectrum.hpp"

#include <string>
#include <vector>

namespace damper {

/// All that is measured of a run.
struct Measured {
    std::vector<MeasureValue> measures;
    std::vector<OrderSpectrum> spectra;     ///< Idle only: flywheel and input shaft acceleration.
    std::vector<StageUse> stage_use;        ///< From the coast stop to the drive stop.
    std::vector<GearImpacts> gear_impacts;  ///< Loose gears first, then the loaded lashes.
    std::vector<std::string> notes;         ///< Why a measure that belongs here is absent.
};

/// Takes the measures that belong to the manoeuvre in `facts`. A run that ended early gives the
/// measures that its length still allows.
[[nodiscard]] Measured measure_run(const RunFacts& facts, const SignalSet& signals,
                                   const EventTable& events);

}  // namespace damper
