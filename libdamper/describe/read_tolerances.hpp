// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/scenario/tolerances.hpp"

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// Reads a file of tolerances: tables [measures.NAME] and [signals.NAME] with `absolute` (a
/// quantity with its unit), `relative` (a share) and `intervals` (a number). Throws InputError with
/// every finding. `measures` and `signals`: the names that there are, with their units.
[[nodiscard]] Tolerances read_tolerances(
    const std::filesystem::path& file,
    const std::vector<std::pair<std::string, std::string>>& measures,
    const std::vector<std::pair<std::string, std::string>>& signals);

}  // namespace damper
