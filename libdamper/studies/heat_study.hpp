// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/heat_record.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <string>

namespace damper {

/// What `damper heat` is asked. 0 or empty: what is usual, as said beside it.
struct HeatSettings {
    std::string gear;             ///< Empty: the forward gear with the largest ratio.
    double grade = 0.12;          ///< Height over way, of the hill.
    double engine_speed = 0.0;    ///< At the beginning [rad/s]; 0: by class of vehicle.
    double clutch_torque = 0.0;   ///< [N m]; 0: half the engine's peak torque, but at least 1.4
                                  ///< times what grade and rolling take, at most what it holds.
    double engine_torque = -1.0;  ///< While it slips [N m]; below 0: as the clutch torque, so that
                                  ///< the engine keeps its speed.
    int starts = 10;              ///< 1…1000
    double interval = 60.0;       ///< From start to start [s]; longer than the slip.
    double surroundings = 273.15 + 60.0;  ///< Air in the housing, plates at first [K].
    double limit = 273.15 + 250.0;        ///< Bulk temperature that starts are counted to [K].
    double cool = 273.15 + 100.0;         ///< Temperature to cool to [K].
    std::string command_line;
};

/// Heat of starts: one on the level, one on a hill, and hill starts in a row with what their heat
/// does to the friction. The vehicle is rolled back or braked to rest between starts; the plates
/// cool as with the engine idling.
///
/// Throws InputError if parts are missing, the gear is not known, or the clutch torque asked for
/// cannot move the vehicle.
[[nodiscard]] HeatRecord study_heat(const Scenario& scenario, const HeatSettings& settings);

}  // namespace damper
