// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <string>
#include <string_view>

namespace damper {

// Sections of the page, each an HTML fragment with its heading. A section whose matter the run
// does not have is an empty string.

[[nodiscard]] std::string verdict_section(const RunRecord& record);
/// The same of a verdict alone: grade, reasons, limits, cautions. `alert` is HTML of our own.
[[nodiscard]] std::string verdict_sections(const Verdict& verdict, const std::string& alert);
[[nodiscard]] std::string disc_section(const RunRecord& record);
[[nodiscard]] std::string clutch_section(const RunRecord& record);
[[nodiscard]] std::string vehicle_section(const RunRecord& record);
[[nodiscard]] std::string motion_section(const RunRecord& record);
[[nodiscard]] std::string course_section(const RunRecord& record);
[[nodiscard]] std::string order_section(const RunRecord& record);
[[nodiscard]] std::string stage_section(const RunRecord& record);
[[nodiscard]] std::string impact_section(const RunRecord& record);
[[nodiscard]] std::string measure_section(const RunRecord& record);
[[nodiscard]] std::string energy_section(const RunRecord& record);
[[nodiscard]] std::string method_section(const RunRecord& record);

/// What the page says about the weight of its figures.
[[nodiscard]] std::string_view estimate_notice();

}  // namespace damper
