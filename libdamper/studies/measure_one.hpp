// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/measures/run_measures.hpp"
#include "libdamper/scenario/scenario.hpp"
#include "libdamper/signals/energy_book.hpp"
#include "libdamper/signals/solver_report.hpp"
#include "libdamper/studies/run_settings.hpp"

namespace damper {

/// What a run leaves that stores no signals: its measures, and what judge_run() needs besides the
/// scenario.
struct MeasuredRun {
    RunFacts facts;
    Measured measured;  ///< Without spectra.
    EnergyBook energy;
    SolverReport solver;  ///< `complete` is false if the run ended early; why in its warnings.
};

/// The way from a scenario to its measures without storing signals or events: what a study runs
/// thousands of times. The measures are those of run_one, bit for bit.
///
/// `workspace` carries memory from run to run; one for each thread. Throws InputError as run_one
/// does; a stop request or a SolverError on the way leaves the measures of what there was.
[[nodiscard]] MeasuredRun measure_one(const Scenario& scenario, const RunSettings& settings,
                                      RunMeasures& workspace, const Progress& progress = {});
[[nodiscard]] MeasuredRun measure_one(const Scenario& scenario, const RunSettings& settings,
                                      const Progress& progress = {});

}  // namespace damper
