// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <string>
#include <vector>

namespace damper {

/// Signals of a run in time as a table: a line of names with units, "time [s],flywheel speed
/// [rpm],gearbox input speed [rpm]", then one row a sample; commas between, decimal points, ten
/// digits. Speeds of rotation are in rpm, angles in deg, the rest in the unit of the result file.
/// read_recording() takes the speeds of flywheel and gearbox input as they stand.
///
/// `names` are those of signals of the run; `from` [s] is where the table begins, in the time of
/// the run. Throws ModelError if the run has no such signal.
[[nodiscard]] std::string signals_csv(const RunRecord& run, const std::vector<std::string>& names,
                                      double from);

/// Both speeds if the run has them, which is what a workshop records; else all signals.
[[nodiscard]] std::vector<std::string> usual_signals(const RunRecord& run);

/// Name, unit in a table and meaning of each signal of the run.
[[nodiscard]] std::string signals_list(const RunRecord& run);

/// Where a table of this run begins [s]: where its measures begin to look, half a second earlier
/// where the pedal changes, so that there is a before; never before the run.
[[nodiscard]] double usual_begin(const RunRecord& run);

}  // namespace damper
