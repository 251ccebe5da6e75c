// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/outputs/figure_table.hpp"
#include "libdamper/recordings/recording_findings.hpp"

#include <string>
#include <vector>

namespace damper {

// What a recording shows, as tables and sentences in a workshop's units, for terminal and page.

/// "Speed of flywheel and gearbox input, 12 s, 2000 values a second".
[[nodiscard]] std::string recording_words(const RecordingFindings& findings);
/// "Doubt, clipping: …", gravest first.
[[nodiscard]] std::vector<std::string> quality_words(const RecordingFindings& findings);
[[nodiscard]] FigureTable recording_figure_table(const RecordingFindings& findings);
/// Orders up to twice the firing order; empty without rows if there are none.
[[nodiscard]] FigureTable recording_order_table(const RecordingFindings& findings);
[[nodiscard]] FigureTable recording_cylinder_table(const RecordingFindings& findings);
/// Every so-many-th stretch of a run-up, `most` rows at most.
[[nodiscard]] FigureTable recording_track_table(const RecordingFindings& findings,
                                                std::size_t most);
/// What to mind when recording and reading.
[[nodiscard]] const std::vector<std::string>& recording_cautions();

}  // namespace damper
