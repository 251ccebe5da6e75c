// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/modes_record.hpp"

#include <string>

namespace damper {

/// The page of natural modes: a table of all gears, the engine orders against the frequencies, and
/// every mode that an order can meet drawn on the driveline. One file without scripts and without
/// anything from elsewhere.
[[nodiscard]] std::string html_modes(const ModesRecord& record);

}  // namespace damper
