// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/scenario/scenario.hpp"

#include <map>
#include <string>
#include <vector>

namespace damper {

/// One value of a scenario with all its parts, ready to be shown.
struct ResolvedValue {
    std::string key;      ///< "disc.stages[0].stiffness"
    std::string value;    ///< As written in the file, else with its unit, six digits.
    std::string where;    ///< "file:line", "--set", "[change] file:line", "built-in default".
    std::string meaning;  ///< In one line.
};

/// Every value that the scenario rests on, in the order of the field tables. Keys that were left
/// out and have no default are not listed. Scenarios made in C++ list all, with an empty `where`.
[[nodiscard]] std::vector<ResolvedValue> resolved_values(const Scenario& scenario);

/// The same of a vehicle alone; `provenance` and `written` as read_vehicle() gives them.
[[nodiscard]] std::vector<ResolvedValue> resolved_values(
    const Vehicle& vehicle, const std::map<std::string, std::string>& provenance,
    const std::map<std::string, std::string>& written = {});

}  // namespace damper
