// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/results/run_record.hpp"
#include "libdamper/scenario/scenario.hpp"
#include "libdamper/studies/run_settings.hpp"

namespace damper {

/// The whole way once: assemble, solve, record, measure, judge. Without a record: measure_one.
///
/// A stop request or a SolverError on the way does not lose what there is: the record then comes
/// back with `solver.complete == false`, the reason in `solver.warnings`, and signals up to there.
/// Throws InputError if the scenario cannot be assembled.
[[nodiscard]] RunRecord run_one(const Scenario& scenario, const RunSettings& settings,
                                const Progress& progress = {});

/// The quasi-static torque–twist loop of a disc over its whole range, stops included.
[[nodiscard]] DiscLoop quasi_static_loop(const Disc& disc);
/// The same of a two-mass flywheel that turns with a speed [rad/s].
[[nodiscard]] DiscLoop quasi_static_loop(const TwoMassFlywheel& flywheel, double speed);

}  // namespace damper
