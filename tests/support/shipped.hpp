// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/read.hpp"

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

namespace damper::test {

/// Keys and values as on the command line.
using Changes = std::vector<std::pair<std::string, std::string>>;

/// A scenario of the folder `scenarios`, changed.
[[nodiscard]] inline Scenario shipped_scenario(const std::string& name, Changes changes = {}) {
    const std::filesystem::path root = DAMPER_SOURCE_DIR;
    return read_scenario(root / "scenarios" / (name + ".toml"),
                         {.models = root / "models", .changes = std::move(changes)});
}

}  // namespace damper::test
