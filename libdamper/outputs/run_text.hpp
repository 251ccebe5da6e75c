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

/// " ± 0.2 (95 %)" behind a value, in shown units; empty where nothing is known of it.
[[nodiscard]] std::string certainty_text(const MeasureValue& measure, double factor);

}  // namespace damper
