// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/signals/event_table.hpp"

#include <string>
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

/// Sums over the impacts of one element while a run goes. The contacts of one element follow each
/// other, so that their sums do not depend on whether impacts come by beginning or by end.
class ImpactSums {
  public:
    void add(const Impact& impact);
    void add(const ImpactSums& other);

    /// Impacts that are not slow touches.
    [[nodiscard]] double hits() const { return hits_; }
    [[nodiscard]] double energy() const { return energy_; }                        ///< [J]
    [[nodiscard]] double closing_speed_max() const { return closing_speed_max_; }  ///< [rad/s]
    /// Rates and statistics over `duration` [s]; all 0 if it is not > 0. `threshold_ratio` stays 0.
    [[nodiscard]] GearImpacts over(double duration, std::string element) const;

  private:
    double count_ = 0.0, hits_ = 0.0, energy_ = 0.0, impulse_ = 0.0;
    double closing_squares_ = 0.0, closing_speed_max_ = 0.0;
};

/// Which of `wanted` each of the names in `elements` is; −1: none of them.
[[nodiscard]] std::vector<int> places_of(const std::vector<std::string>& elements,
                                         const std::vector<std::string>& wanted);

}  // namespace damper
