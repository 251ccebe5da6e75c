// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/results/run_record.hpp"

namespace damper {

/// The assembled driveline as plain tables for the result file.
[[nodiscard]] ModelTable model_table(const Assembled& assembled);

}  // namespace damper
