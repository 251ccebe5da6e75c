// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/response_record.hpp"

#include <string>

namespace damper {

/// What the terminal shows of a frequency response: where it was taken, isolation per stage at the
/// firing frequency, resonances, what to mind. At most 100 columns.
[[nodiscard]] std::string response_text(const ResponseRecord& record);

/// All curves as columns over frequency, SI units, phases in rad: one header line, then one line a
/// frequency.
[[nodiscard]] std::string response_csv(const ResponseRecord& record);

/// All of it as JSON, SI units. What is no number is null.
[[nodiscard]] std::string response_json(const ResponseRecord& record);

/// The page: everything above and the charts, in one file.
[[nodiscard]] std::string response_page(const ResponseRecord& record);

}  // namespace damper
