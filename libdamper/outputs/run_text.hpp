// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/measure.hpp"
#include "libdamper/signals/solver_report.hpp"

#include <string>

namespace damper {

/// What a run started from, as a sentence; empty for the steady start that nobody needs told.
[[nodiscard]] std::string start_text(const StartReport& start);

/// Why a run ended where it did, as a sentence; empty for a length that was asked for.
[[nodiscard]] std::string stop_text(const SolverReport& solver);

/// Value and unit of a measure as a workshop reads it, with how certain it is where that is known:
/// "12.3 ± 0.2 per second (95 %)".
[[nodiscard]] std::string value_text(const MeasureValue& measure);

}  // namespace damper
