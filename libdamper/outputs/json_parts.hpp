// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/measure.hpp"
#include "libdamper/results/run_record.hpp"

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace damper {

// Parts that the JSON texts of several results have in common. SI with units beside the numbers;
// what is not finite becomes null when it is written.

[[nodiscard]] nlohmann::ordered_json run_json(const RunIdentity& identity);
[[nodiscard]] nlohmann::ordered_json verdict_json(const Verdict& verdict);
[[nodiscard]] nlohmann::ordered_json measures_json(const std::vector<MeasureValue>& measures);

/// Two blanks a level, bytes that are no text replaced, ends with a line end.
[[nodiscard]] std::string json_dump(const nlohmann::ordered_json& json);

}  // namespace damper
