// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/recordings/recording_findings.hpp"

#include <string>
#include <vector>

namespace damper {

/// What recordings show, for a terminal: quality first, then figures.
[[nodiscard]] std::string recordings_text(const std::vector<RecordingFindings>& all);

/// The same as JSON, SI with units; what is not known is null.
[[nodiscard]] std::string recordings_json(const std::vector<RecordingFindings>& all,
                                          const std::string& command_line);

/// The same as a page that needs no other file.
[[nodiscard]] std::string html_recordings(const std::vector<RecordingFindings>& all,
                                          const std::string& command_line);

}  // namespace damper
