// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/cover_record.hpp"
#include "libdamper/results/layout.hpp"

#include <tuple>

/// What stands in the file of a clutch cover, and in its tables as CSV and JSON. Changing a name, a
/// unit or a type here changes the format: raise `cover_format_version`.
namespace damper::layout {

inline constexpr const char* cover_format_name = "damper cover";
inline constexpr int cover_format_version = 2;

inline constexpr std::tuple cover_states{
    Column{"state", "", "facings: new, now, worn", &CoverState::name},
    Column{"wear", "m", "of one face", &CoverState::wear},
    Column{"deflection", "m", "of the spring, clamped", &CoverState::deflection},
    Column{"clamp_load", "N", "less what rests on the bearing", &CoverState::clamp_load},
    Column{"root_sum_low", "N", "low end of its tolerances, root of the sum of squares",
           &CoverState::root_sum_low},
    Column{"root_sum_high", "N", "high end", &CoverState::root_sum_high},
    Column{"worst_low", "N", "low end, all tolerances at their ends", &CoverState::worst_low},
    Column{"worst_high", "N", "high end", &CoverState::worst_high},
    Column{"pressure", "Pa", "mean, on the facings", &CoverState::pressure},
    Column{"capacity", "N.m", "torque held warm, uniform wear", &CoverState::capacity},
    Column{"capacity_bedding", "N.m", "torque held warm, uniform pressure",
           &CoverState::capacity_bedding},
    Column{"capacity_hot", "N.m", "torque held hot, uniform wear", &CoverState::capacity_hot},
    Column{"capacity_hot_low", "N.m", "the same at the low end of the tolerances",
           &CoverState::capacity_hot_low},
    Column{"largest_bearing_load", "N", "on the way to full travel",
           &CoverState::largest_bearing_load},
    Column{"bearing_load", "N", "at full travel", &CoverState::bearing_load},
    Column{"lift", "m", "of the pressure plate at full travel", &CoverState::lift},
    Column{"least_lift", "m", "at its worst place, losses taken off", &CoverState::least_lift},
    Column{"clearance", "m", "between disc and plates, cushion sprung back, per disc",
           &CoverState::clearance},
    Column{"margin", "m", "least lift less what the discs need to turn freely",
           &CoverState::margin},
    Column{"free_travel", "m", "bearing travel at which the plate leaves the disc",
           &CoverState::free_travel},
    Column{"needed_travel", "m", "bearing travel from which the discs turn freely",
           &CoverState::needed_travel},
    Column{"finger_shift", "m", "way of the finger tips since new, by wear",
           &CoverState::finger_shift}};

inline constexpr std::tuple cover_spring{
    Column{"deflection", "m", "of the spring, from unstressed", &CoverSpringPoint::deflection},
    Column{"load", "N", "between load and pivot circle", &CoverSpringPoint::load}};

inline constexpr std::tuple cover_wear{
    Column{"wear", "m", "of one face", &CoverWearPoint::wear},
    Column{"deflection", "m", "of the spring, clamped", &CoverWearPoint::deflection},
    Column{"clamp_load", "N", "less what rests on the bearing", &CoverWearPoint::clamp_load},
    Column{"root_sum_low", "N", "low end of its tolerances, root of the sum of squares",
           &CoverWearPoint::root_sum_low},
    Column{"root_sum_high", "N", "high end", &CoverWearPoint::root_sum_high},
    Column{"worst_low", "N", "low end, all tolerances at their ends", &CoverWearPoint::worst_low},
    Column{"worst_high", "N", "high end", &CoverWearPoint::worst_high},
    Column{"capacity", "N.m", "torque held warm, uniform wear", &CoverWearPoint::capacity},
    Column{"capacity_hot", "N.m", "torque held hot, uniform wear", &CoverWearPoint::capacity_hot}};

inline constexpr std::tuple cover_release{
    Column{"travel", "m", "of the release bearing from contact", &CoverReleasePoint::travel},
    Column{"bearing_load", "N", "on the release bearing", &CoverReleasePoint::bearing_load},
    Column{"lift", "m", "of the pressure plate", &CoverReleasePoint::lift},
    Column{"plate_load", "N", "of the pressure plate on the disc", &CoverReleasePoint::plate_load},
    Column{"capacity", "N.m", "torque held warm", &CoverReleasePoint::capacity}};

inline constexpr std::tuple cover_temperatures{
    Column{"temperature", "K", "of the faces", &CoverTemperaturePoint::temperature},
    Column{"friction", "1", "coefficient", &CoverTemperaturePoint::friction},
    Column{"capacity_new", "N.m", "torque held, facings new", &CoverTemperaturePoint::capacity_new},
    Column{"capacity_worn", "N.m", "torque held, facings worn",
           &CoverTemperaturePoint::capacity_worn}};

inline constexpr std::tuple cover_cases{
    Column{"case", "", "what is otherwise", &CoverCase::name},
    Column{"clamp_load", "N", "facings new", &CoverCase::clamp_load},
    Column{"factor", "1", "torque held over torque asked for, warm, facings new",
           &CoverCase::factor},
    Column{"factor_worn", "1", "the same, facings worn", &CoverCase::factor_worn},
    Column{"bearing_load", "N", "largest, facings worn", &CoverCase::bearing_load},
    Column{"clearance", "m", "of the disc at full release, facings new", &CoverCase::clearance},
    Column{"margin", "m", "lift beyond what the disc needs, facings new", &CoverCase::margin}};

}  // namespace damper::layout
