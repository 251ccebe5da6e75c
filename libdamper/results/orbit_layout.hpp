// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/layout.hpp"
#include "libdamper/results/orbit_record.hpp"

#include <cctype>
#include <string>
#include <tuple>

/// What stands in the file of steady motions. Changing a name, a unit or a type here changes the
/// format: raise `orbit_format_version`.
namespace damper::layout {

inline constexpr const char* orbit_format_name = "damper orbit";
inline constexpr int orbit_format_version = 3;

/// "gearbox input speed" → "gearbox_input_speed".
inline std::string orbit_dataset(const std::string& signal) {
    std::string name;
    for (const char letter : signal) {
        name += std::isalnum(static_cast<unsigned char>(letter)) != 0 ? letter : '_';
    }
    return name;
}

inline constexpr std::tuple orbit_numbers{
    Column{"engine_speed", "rad/s", "mean speed of the engine", &OrbitPoint::engine_speed},
    Column{"engine_torque", "N.m", "mean torque at the flywheel", &OrbitPoint::engine_torque},
    Column{"holding_torque", "N.m",
           "what keeps the mean speed: on the engine in neutral, on the "
           "wheels in gear",
           &OrbitPoint::holding_torque},
    Column{"truncation", "1", "share of the speed swing that harmonics left out would make",
           &OrbitPoint::truncation},
    Column{"closing_error", "1",
           "what an exact run over one period does not close, of the speed "
           "swing; 0 where stability was not asked for",
           &OrbitPoint::closing_error}};
inline constexpr std::tuple orbit_counts{
    Column{"harmonics", "",
           "harmonics of the first order that were kept; 0 by shooting, which has all",
           &OrbitPoint::harmonics},
    Column{"mode_changes", "", "in a period", &OrbitPoint::mode_changes},
    Column{"periods", "", "of the first order, that the motion takes to repeat",
           &OrbitPoint::periods}};

inline constexpr std::tuple orbit_unsettled{
    Column{"engine_speed", "rad/s", "mean speed of the engine that was asked for",
           &OrbitUnsettled::engine_speed},
    Column{"run_periods", "", "periods of the first order after which an exact run changes least",
           &OrbitUnsettled::periods},
    Column{"period_change", "1", "what then changes, of the swing of what changes most",
           &OrbitUnsettled::change},
    Column{"amplitude", "rad/s", "gearbox input speed at the firing order in that run, 0 to peak",
           &OrbitUnsettled::amplitude},
    Column{"repeats", "", "1: it may repeat, but no motion was closed", &OrbitUnsettled::repeats}};
inline constexpr std::tuple orbit_checks{
    Column{"engine_speed", "rad/s", "mean speed of the engine", &OrbitCheck::engine_speed},
    Column{"finished", "", "1: the exact run came to its end", &OrbitCheck::finished},
    Column{"trouble", "", "why it did not", &OrbitCheck::trouble},
    Column{"periodic", "", "1: it repeats after some periods", &OrbitCheck::periodic},
    Column{"run_periods", "", "of the first order, after which it repeats; 0: after none",
           &OrbitCheck::periods},
    Column{"period_change", "1",
           "after them, or after as many as change least, of the speed swing of the gearbox input",
           &OrbitCheck::period_change},
    Column{"deviation", "1", "of the largest order, curve against run", &OrbitCheck::deviation}};

}  // namespace damper::layout
