// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/scenario/scenario.hpp"

#include <string>

namespace damper {

/// How a scenario is to be solved.
struct RunSettings {
    std::string solver = "auto";    ///< "auto", "general" or "exact"; auto takes the exact one.
    double tolerance = 1e-8;        ///< Relative, of the general solver. 1e-13…1e-5
    std::string command_line = {};  ///< Kept in the record.

    /// "steady": from the balance of mean torques, measured after the scenario's settling time.
    /// "periodic", idle only: on the periodic motion if there is a stable one (see periodic_start),
    /// else from a settled state; measured from the first sample on.
    std::string start = "steady";
    /// Idle only: ends the run as soon as the rates of tooth impacts are known to ± this share of
    /// themselves with 95 % (see RattleCertainty); 0: the length of the scenario. 0.001…0.5
    double certain = 0.0;
    /// With `certain`: measured no longer than this, known or not [s]. 1…600
    double longest = 60.0;
};

/// Throws InputError if the settings are out of range or ask of a manoeuvre what it cannot give.
void check_settings(const Scenario& scenario, const RunSettings& settings);

}  // namespace damper
