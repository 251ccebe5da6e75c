// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/signals/event_table.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// Touches slower than this are the last bounces of a tooth that comes to rest: not counted as
/// impacts [rad/s]. A convention of this tool; energy and impulse include every touch.
inline constexpr double slowest_impact = 0.05;

/// What happened at one gear pair or other lash over the time that is measured.
struct GearImpacts {
    std::string element;
    double rate = 0.0;               ///< Impacts per second, slow touches left out [1/s].
    double energy_rate = 0.0;        ///< Energy lost in impacts per second [W].
    double impulse_mean = 0.0;       ///< [N m s]
    double closing_speed_rms = 0.0;  ///< [rad/s]
    double closing_speed_max = 0.0;  ///< [rad/s]
    double threshold_ratio = 0.0;  ///< J·α̂/T_drag at the loose gear; 0 where it means nothing.
};

/// The impacts of the element called `name` that touch at `from` [s] or later.
[[nodiscard]] std::vector<Impact> impacts_of(const EventTable& events, std::string_view name,
                                             double from);

/// Rates and statistics of `impacts` over `duration` [s] > 0; `threshold_ratio` stays 0.
[[nodiscard]] GearImpacts summarise_impacts(std::string element, const std::vector<Impact>& impacts,
                                            double duration);

}  // namespace damper
