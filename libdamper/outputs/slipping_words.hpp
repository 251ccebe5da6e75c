// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/modes_record.hpp"

#include <array>
#include <string>
#include <vector>

namespace damper {

// What text and page say about the modes of a driveline whose clutch slips.

inline constexpr const char* slipping_heading = "While the clutch slips";

/// "Taking up in gear 1, 1 m/s of slip, friction falling by 0.006 a m/s. …"
[[nodiscard]] std::string slipping_words(const ModesRecord& record);

inline constexpr std::array slipping_headings = {"Clamp load", "Mode",    "Hz",   "Grows [1/s]",
                                                 "Flat [1/s]", "Damping", "Felt", "Moving"};
/// One a mode that an order can meet: as the headings say. The clamp load stands in its first row.
[[nodiscard]] std::vector<std::vector<std::string>> slipping_cells(const ModesRecord& record);

}  // namespace damper
