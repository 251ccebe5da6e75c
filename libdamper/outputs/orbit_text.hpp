// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/orbit_record.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace damper {

/// Steady motions over engine speed for a terminal: a table of some twenty speeds, where the
/// gearbox input swings most, which loose gears would rattle where, jumps, exact runs. UTF-8, ends
/// with a line end.
[[nodiscard]] std::string orbit_text(const OrbitRecord& record);

/// Every point of the curve as JSON: SI with units beside them; what is not finite is null.
[[nodiscard]] std::string orbit_json(const OrbitRecord& record);

/// Every point of the curve as a line: SI, units in the header.
[[nodiscard]] std::string orbit_csv(const OrbitRecord& record);

/// Whether an exact run repeats: "yes", "every 2 periods", or how much of it changes.
[[nodiscard]] std::string repeats_text(const OrbitCheck& check);

/// What an exact run does where nothing that repeats was found: "38 % after 7 periods".
[[nodiscard]] std::string unsettled_text(const OrbitUnsettled& run);

/// Numbers of those runs to show, a dozen at most, from end to end.
[[nodiscard]] std::vector<std::size_t> some_unsettled(const OrbitRecord& record);

}  // namespace damper
