// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <string>

namespace damper::command {

/// The models folder: `asked` (from --models) if not empty; else the environment variable
/// DAMPER_MODELS; else ../share/damper/models beside the installed executable; else models/ of the
/// source tree that this program was built from. Empty if there is none of them.
/// Throws InputError if the first or the second names no folder.
[[nodiscard]] std::filesystem::path models_folder(const std::string& asked);

/// The file meant by a word on the command line: the path itself if it exists; else, for a bare
/// name such as "car_idle_hot", NAME.toml in the `kind` folder ("scenarios", "vehicles",
/// "discs") that belongs to `models`; NAME.csv in "bench" and
/// "recordings". Falls back to the word itself, for the
/// reader to refuse.
[[nodiscard]] std::filesystem::path locate(const std::string& word, const std::string& kind,
                                           const std::filesystem::path& models);

}  // namespace damper::command
