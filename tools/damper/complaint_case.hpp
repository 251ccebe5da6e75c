// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/studies/diagnose.hpp"

#include "tools/damper/built_in.hpp"

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

namespace damper::command {

/// The complaint file meant by a word: a path, or the name of a built-in one. Throws InputError.
[[nodiscard]] std::filesystem::path complaint_file(const std::string& word,
                                                   const std::filesystem::path& models);

/// Whether a word means a complaint: a built-in one, or a file that names a symptom.
[[nodiscard]] bool is_complaint(const std::string& word, const std::filesystem::path& models);

/// Measures that a complaint may give, of runs and of clutches, with their units. Those of a clutch
/// are what a vehicle of the models folder gives.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> measures_of(
    const Knowledge& knowledge, const std::filesystem::path& models);

/// The vehicle of a complaint: a name, or a file from the complaint's folder. Throws InputError.
[[nodiscard]] std::string vehicle_of(const Complaint& complaint, const std::filesystem::path& file,
                                     const std::filesystem::path& models);

/// Built-in vehicles to choose from; `detail` says what sets them apart for a complaint.
[[nodiscard]] std::vector<BuiltIn> vehicles_with_parts(const std::filesystem::path& models);

}  // namespace damper::command
