// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/measure.hpp"
#include "libdamper/verdict/verdict.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// Verdict on clamp, wear and release of a clutch. `figures` by their names in all_limits(); beside
/// them, where known: "clamp_load_new", "clamp_load_worn" [N], "slip_wear", "wear_allowance" (per
/// face), "needed_travel", "travel", "set_shift" [m], "runout_excess" [m], "lost_lift" [m],
/// "clamp_load_mean_deviation" [1].
[[nodiscard]] Verdict judge_cover(std::string_view vehicle_class,
                                  const std::vector<MeasureValue>& figures);

/// Verdict on the heat of starts. Beside the judged figures: "starts_to_limit", "starts" [1],
/// "starts_to_fade" [1], "settled_temperature", "limit_temperature", "cool_temperature" [K],
/// "time_to_cool" [s]. `ended`: why fewer starts were made than asked for; else empty.
[[nodiscard]] Verdict judge_heat(std::string_view vehicle_class,
                                 const std::vector<MeasureValue>& figures,
                                 const std::string& ended);

}  // namespace damper
