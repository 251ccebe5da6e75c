// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace damper::command {

/// A description that its bare name stands for on the command line.
struct BuiltIn {
    std::string name;    ///< File name without ending.
    std::string title;   ///< Empty if the file has none or cannot be read.
    std::string detail;  ///< Of a scenario the vehicle it names, of a vehicle its class.
};

/// The folder of scenarios, or of one kind of part ("discs"), that belongs to a models folder.
[[nodiscard]] std::filesystem::path folder_of(const std::string& kind,
                                              const std::filesystem::path& models);

/// Names of the .toml files in a folder without their ending, sorted; none if there is no folder.
[[nodiscard]] std::vector<std::string> names_in(const std::filesystem::path& folder);

/// What lies in the `kind` folder that belongs to `models`, sorted by name.
[[nodiscard]] std::vector<BuiltIn> built_in(const std::string& kind,
                                            const std::filesystem::path& models);

}  // namespace damper::command
