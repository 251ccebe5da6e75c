// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <string>

namespace damper::command {

/// Everything that is built in, by name with titles: scenarios, vehicles, discs by class of
/// vehicle, engines and so on. `format`: "text" or "json". Throws InputError if there is nothing.
[[nodiscard]] std::string built_in_list(const std::filesystem::path& models,
                                        const std::string& format);

}  // namespace damper::command
