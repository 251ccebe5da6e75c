// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/read.hpp"
#include "libdamper/studies/run_one.hpp"

#include <algorithm>
#include <doctest/doctest.h>
#include <filesystem>
#include <string>
#include <utility>
#include <vector>

namespace damper::trade {

using Changes = std::vector<std::pair<std::string, std::string>>;

inline std::filesystem::path source_folder() {
    return DAMPER_SOURCE_DIR;
}

/// A shipped scenario, with changes as on the command line.
inline Scenario shipped(const std::string& name, const Changes& changes = {}) {
    return read_scenario(source_folder() / "scenarios" / (name + ".toml"),
                         {.models = source_folder() / "models", .changes = changes});
}

inline RunRecord run(const Scenario& scenario) {
    RunRecord record = run_one(scenario, {});
    REQUIRE(record.solver.complete);
    REQUIRE(record.energy.residual() < 1e-6);
    return record;
}

inline RunRecord run(const std::string& name, const Changes& changes = {}) {
    return run(shipped(name, changes));
}

inline double measure(const RunRecord& record, const std::string& name) {
    const auto found = std::find_if(record.measures.begin(), record.measures.end(),
                                    [&](const MeasureValue& m) { return m.name == name; });
    REQUIRE_MESSAGE(found != record.measures.end(), "no measure \"" << name << "\"");
    return found->value;
}

}  // namespace damper::trade
