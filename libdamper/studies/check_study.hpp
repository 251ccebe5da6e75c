// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/results/check_report.hpp"
#include "libdamper/scenario/scenario.hpp"
#include "libdamper/scenario/tolerances.hpp"
#include "libdamper/studies/run_settings.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace damper {

/// A scenario that is to be checked. What is known of it already stands in `before`: its name and
/// file, and if it could not be read, why.
struct CheckJob {
    CheckedScenario before;
    std::optional<Scenario> scenario;  ///< Nothing: it could not be read, or need not be run.
    std::optional<Baseline> baseline;
};

struct CheckSettings {
    RunSettings run;
    Tolerances tolerances;
    bool against_baselines = false;  ///< A scenario without one is missed then …
    /// … unless they are being made: bands alone count then, what was stored is on its way out.
    bool makes_baselines = false;
    std::size_t threads = 0;  ///< 0: as many as the processor runs at once.
};

/// Runs the scenarios on several threads and holds each against its bands and baseline. What goes
/// wrong with one is recorded there and does not touch the others. The results are those of one
/// thread, in the order of `jobs`. A stop request leaves out what is not done yet.
[[nodiscard]] std::vector<CheckedScenario> check_scenarios(const std::vector<CheckJob>& jobs,
                                                           const CheckSettings& settings,
                                                           const Progress& progress = {});

}  // namespace damper
