// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/scenario/cause.hpp"

#include <filesystem>

namespace damper {

/// Reads a cause: what it changes and what shows it. The changes are checked when they are applied.
/// Throws InputError with every finding.
[[nodiscard]] Cause read_cause(const std::filesystem::path& file);

}  // namespace damper
