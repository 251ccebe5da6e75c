// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/tune_record.hpp"

#include <string>

namespace damper {

/// A search for a terminal: what was found in words, the disc, packaging, cases and the front.
[[nodiscard]] std::string tune_text(const TuneRecord& record);
/// Everything with all candidates, SI.
[[nodiscard]] std::string tune_json(const TuneRecord& record);
/// Candidates as rows: number, origin, end, the keys' values (SI), and for each case grade, margin
/// and measure of its worst figure; front and best.
[[nodiscard]] std::string tune_csv(const TuneRecord& record);
/// The page: what was found, the front as a picture, disc, packaging, measures and bench loops.
[[nodiscard]] std::string html_tune(const TuneRecord& record);

}  // namespace damper
