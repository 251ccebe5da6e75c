// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <string>

namespace damper {

/// The run as one HTML page that needs nothing else: script, style, chart library and data are
/// inside, and its security policy forbids the browser to load or run anything more. Whatever
/// came from a file is escaped. Without scripts, and in print, charts are still pictures.
[[nodiscard]] std::string html_report(const RunRecord& record);

}  // namespace damper
