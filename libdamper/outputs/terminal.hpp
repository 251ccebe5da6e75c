// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <string>

namespace damper {

/// The verdict of a run for a terminal: UTF-8, no line wider than 100 columns, no control
/// characters but line ends. Ends with a line end.
[[nodiscard]] std::string terminal_text(const RunRecord& record);

}  // namespace damper
