// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/heat_record.hpp"
#include "libdamper/results/layout.hpp"

#include <tuple>

/// What stands in the file of heat, and in its tables as CSV and JSON. Changing a name, a unit or a
/// type here changes the format: raise `heat_format_version`.
namespace damper::layout {

inline constexpr const char* heat_format_name = "damper heat";
inline constexpr int heat_format_version = 1;

inline constexpr std::tuple heat_starts{
    Column{"start", "", "level or hill", &HeatStart::name},
    Column{"grade", "1", "height over way", &HeatStart::grade},
    Column{"load_torque", "N.m", "grade and rolling, at the gearbox input",
           &HeatStart::load_torque},
    Column{"clutch_torque", "N.m", "that the clutch carries", &HeatStart::clutch_torque},
    Column{"slip_time", "s", "until the clutch sticks", &HeatStart::slip_time},
    Column{"energy", "J", "turned into heat", &HeatStart::energy},
    Column{"first_power", "W", "at the beginning; falls evenly to 0", &HeatStart::first_power},
    Column{"specific_energy", "J/m2", "energy over the area of all facings",
           &HeatStart::specific_energy},
    Column{"specific_power", "W/m2", "power at first over the area of all facings",
           &HeatStart::specific_power},
    Column{"speed", "m/s", "of the vehicle when the clutch sticks", &HeatStart::speed},
    Column{"face_rise", "K", "largest, of the hottest face over its bulk", &HeatStart::face_rise},
    Column{"bulk_rise", "K", "of the plate that warms most", &HeatStart::bulk_rise},
    Column{"one_mass_rise", "K", "if all plates were one", &HeatStart::one_mass_rise}};

inline constexpr std::tuple heat_steps{
    Column{"number", "", "of the start, from 1", &HeatStep::number},
    Column{"time", "s", "at its beginning", &HeatStep::time},
    Column{"clutch_torque", "N.m", "that the clutch carries", &HeatStep::clutch_torque},
    Column{"capacity", "N.m", "that the faces hold at their temperature before it",
           &HeatStep::capacity},
    Column{"energy", "J", "turned into heat", &HeatStep::energy},
    Column{"slip_time", "s", "until the clutch sticks", &HeatStep::slip_time},
    Column{"face_temperature", "K", "largest, of the hottest face", &HeatStep::face_temperature},
    Column{"one_mass", "K", "after it, if all plates were one", &HeatStep::one_mass}};

}  // namespace damper::layout
