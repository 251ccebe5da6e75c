// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/data_files.hpp"
#include "libdamper/scenario/scenario.hpp"

namespace damper {

/// Fills in what the files hold that a scenario names: a recorded speed, and what its vehicle
/// names.
void read_data(Scenario& scenario, DataFiles& data);

/// The same of a vehicle: the pressure trace of its engine.
void read_data(Vehicle& vehicle, DataFiles& data);

}  // namespace damper
