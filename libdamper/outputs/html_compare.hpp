// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/compare_record.hpp"

#include <string>

namespace damper {

// Sections of a page about discs beside each other; empty if the record does not have their matter.

/// Measures with limits, disc by disc.
[[nodiscard]] std::string compare_measures_section(const CompareRecord& record);
/// Bench loops over each other.
[[nodiscard]] std::string compare_loops_section(const CompareRecord& record);

}  // namespace damper
