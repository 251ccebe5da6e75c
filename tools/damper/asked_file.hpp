// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/studies/knowledge_of_complaints.hpp"

#include <filesystem>

namespace damper::command {

/// Asks for a complaint at standard input and writes it to `file`; where that is there, goes on
/// with it: what is answered, measured and recorded in it stays, and the earlier file is kept
/// beside it if anything of it, such as a comment, would be lost. Says what was done.
void write_asked(const std::filesystem::path& file, const Knowledge& knowledge,
                 const std::filesystem::path& models);

}  // namespace damper::command
