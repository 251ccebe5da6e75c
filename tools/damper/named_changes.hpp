// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/compare_record.hpp"
#include "libdamper/scenario/cause.hpp"

#include "tools/damper/command_line.hpp"

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

namespace damper::command {

/// Changes of a description under a name.
struct NamedChanges {
    std::string name;
    std::vector<std::pair<std::string, std::string>> changes;
    std::vector<ChangeOfFitted> of_fitted{};
    /// Adds what a cause changes.
    void add(const Cause& cause);
};

/// "NAME: KEY=VALUE, KEY=VALUE" as `option` takes it; cause=NAME stands for what the cause changes.
/// Throws InputError.
[[nodiscard]] NamedChanges named_changes(const std::string& option, const std::string& text,
                                         const std::filesystem::path& models);

/// A cause by name. Throws InputError with the nearest name, told by `option`.
[[nodiscard]] Cause cause_named(const std::string& option, const std::string& name,
                                const std::filesystem::path& models);

/// What each --condition says; one without name and changes if there are none. Throws InputError.
[[nodiscard]] std::vector<CompareCondition> conditions_of(const Words& texts,
                                                          const std::filesystem::path& models);

}  // namespace damper::command
