// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/study_record.hpp"

#include <cstddef>
#include <string>

namespace damper {

/// A measure over the levels of two keys of a grid, as shades with contour lines and the measure's
/// limits drawn heavy; other keys stand at their middle level. Between levels it is straight.
/// Empty if the study is no grid, a key has fewer than two levels or words to choose from, or
/// fewer than four variants have the measure. `column` as in StudyRecord::measures.
[[nodiscard]] std::string svg_study_map(const StudyRecord& record, std::size_t x_key,
                                        std::size_t y_key, std::size_t column);

}  // namespace damper
