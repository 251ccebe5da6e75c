// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/cover_record.hpp"
#include "libdamper/results/heat_record.hpp"

#include <string>

namespace damper {

/// The page of a clutch cover: verdict, curves, tables. One file without scripts that needs no
/// other file and no network.
[[nodiscard]] std::string html_cover(const CoverRecord& record);

/// The page of starts and their heat, in the same way.
[[nodiscard]] std::string html_heat(const HeatRecord& record);

}  // namespace damper
