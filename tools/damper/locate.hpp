// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <string>

namespace damper::command {

/// The models folder: `asked` (from --models) if not empty; else the environment variable
/// DAMPER_MODELS; else share/damper/models beside the executable or its folder; else, for a program
/// that lies where it was built, models/ of its source tree. Empty if there is none of them.
/// Throws InputError if the first or the second names no folder.
[[nodiscard]] std::filesystem::path models_folder(const std::string& asked);

/// The same where nothing goes without: throws InputError, with what was searched, if there is
/// none.
[[nodiscard]] std::filesystem::path needed_models_folder(const std::string& asked);

/// That there is no models folder, what was searched and what to do.
[[nodiscard]] std::string no_models();

/// The file meant by a word on the command line: the path itself if it exists; else, for a bare
/// name such as "car_idle_hot", NAME.toml in the `kind` folder ("scenarios", "vehicles",
/// "discs") that belongs to `models`; NAME.csv in "bench" and
/// "recordings". Falls back to the word itself, for the
/// reader to refuse.
[[nodiscard]] std::filesystem::path locate(const std::string& word, const std::string& kind,
                                           const std::filesystem::path& models);

}  // namespace damper::command
