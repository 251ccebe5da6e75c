// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/signals/event_table.hpp"
#include "libdamper/signals/signal_set.hpp"

namespace damper {

/// Takes the measures of a stored run: the same as RunMeasures gives while it goes, and of an idle
/// run the order spectra of both accelerations. Throws ModelError if there are no measures for the
/// manoeuvre or a signal is missing that they need.
[[nodiscard]] Measured measure_run(const RunFacts& facts, const SignalSet& signals,
                                   const EventTable& events);

}  // namespace damper
