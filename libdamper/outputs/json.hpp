// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <string>

namespace damper {

/// The outcome of a run as JSON (UTF-8, keys in a fixed order, ends with a line end): identity,
/// verdict, judgements, bands, measures, stages, gear impacts, energy, solver. Numbers are SI with
/// their units beside them and read back to the same double; what is not finite is null. Time and
/// place of the run are left out, so that the same inputs give the same bytes.
[[nodiscard]] std::string json_text(const RunRecord& record);

}  // namespace damper
