// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/knowledge.hpp"
#include "libdamper/scenario/scenario.hpp"
#include "libdamper/studies/cause_vehicles.hpp"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// The run of a complaint with the vehicle that is asked for. Where the knowledge names a scenario
/// of another vehicle of the class and there is one that does the very same with this vehicle –
/// manoeuvre, conditions and recording alike, nothing changed –, it is that one; else the one
/// named, in which the vehicle is exchanged. Nothing if the class has no run.
[[nodiscard]] std::optional<ComplaintRun> run_of_vehicle(const ComplaintKind& kind,
                                                         const VehiclesAsked& asked);

/// What can be typed behind the verb to have a run: the scenario, --set vehicle=… where its own is
/// another, and --set for the changes of the run and for `changes`.
[[nodiscard]] std::string words_of_run(
    const ComplaintRun& run, const VehiclesAsked& asked,
    const std::vector<std::pair<std::string, std::string>>& changes);

/// "damper run …" or, where the clutch is calculated, "damper cover …", in the asked state.
[[nodiscard]] std::string command_of(const ComplaintRun& run, const VehiclesAsked& asked);

/// The state of a scenario in short: "idling at 820 rpm, pedal up, gearbox oil at 80 °C".
[[nodiscard]] std::string state_in_words(const Scenario& scenario);

}  // namespace damper
