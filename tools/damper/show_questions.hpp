// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/studies/knowledge_of_complaints.hpp"

#include <filesystem>
#include <string>

namespace damper::command {

/// What `damper diagnose --ask` asks about a complaint and what can be measured and recorded of it,
/// as text that can be printed and filled in by hand, or as JSON. `symptom` may have _ for blanks
/// and any capitals; `vehicle` is a name or a file, empty for that of the complaint's
/// first run. Throws InputError.
[[nodiscard]] std::string questions_of(const std::string& symptom, const std::string& vehicle,
                                       const Knowledge& knowledge,
                                       const std::filesystem::path& models,
                                       const std::string& format);

}  // namespace damper::command
