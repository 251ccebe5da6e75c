// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <string>
#include <vector>

namespace damper {

/// One start from rest, the plates at the temperature of the surroundings.
struct HeatStart {
    std::string name;              ///< "level", "hill".
    double grade = 0.0;            ///< Height over way.
    double load_torque = 0.0;      ///< At the gearbox input [N m].
    double clutch_torque = 0.0;    ///< [N m]
    double slip_time = 0.0;        ///< [s]
    double energy = 0.0;           ///< [J]
    double first_power = 0.0;      ///< [W]
    double specific_energy = 0.0;  ///< Energy over the area of all facings [J/m²].
    double specific_power = 0.0;   ///< Power at first over that area [W/m²].
    double speed = 0.0;            ///< Of the vehicle when the clutch sticks [m/s].
    double face_rise = 0.0;        ///< Largest, of the hottest face [K].
    double bulk_rise = 0.0;        ///< Of the plate that warms most [K].
    double one_mass_rise = 0.0;    ///< If all plates were one [K].
};

/// One of a row of starts.
struct HeatStep {
    int number = 0;                 ///< From 1.
    double time = 0.0;              ///< At its beginning [s].
    double clutch_torque = 0.0;     ///< What the faces still give [N m].
    double capacity = 0.0;          ///< At the temperature of the faces before it [N m].
    double energy = 0.0;            ///< [J]
    double slip_time = 0.0;         ///< [s]
    double face_temperature = 0.0;  ///< Largest [K].
    double one_mass = 0.0;          ///< If all plates were one, after it [K].
    std::vector<double> before;     ///< Bulk temperature of each plate before it [K].
    std::vector<double> after;      ///< When the clutch sticks [K].
};

/// Temperatures over time, starts and cooling.
struct HeatHistory {
    std::vector<double> time;                      ///< [s]
    std::vector<std::vector<double>> temperature;  ///< [time][plate] [K]
};

/// Everything that `damper heat` finds.
struct HeatRecord {
    RunIdentity identity;
    std::string gear;
    double engine_speed = 0.0;     ///< At the beginning of each start [rad/s].
    double engine_inertia = 0.0;   ///< With facings [kg m²].
    double vehicle_inertia = 0.0;  ///< At the gearbox input [kg m²].
    double interval = 0.0;         ///< From start to start [s].
    double surroundings = 0.0;     ///< Air in the housing [K].
    double limit = 0.0;            ///< Bulk temperature that ends the count [K].
    double cool = 0.0;             ///< Temperature to cool to [K].
    double facing_area = 0.0;      ///< Of all faces [m²].
    std::vector<std::string> plates;
    std::vector<double> slip_share;  ///< Of the heat, per plate.
    std::vector<HeatStart> starts;
    std::vector<HeatStep> steps;  ///< Hill starts, as many as asked for or as there could be.
    std::string ended;            ///< Why there are fewer steps than asked for; else empty.
    int starts_to_limit = 0;      ///< How many until a plate is above the limit; 0: it never is.
    int starts_to_fade = 0;       ///< The start that cannot be finished; 0: none before the limit.
    double settled = 0.0;         ///< Hottest bulk temperature after endless starts [K].
    double time_to_cool = 0.0;    ///< After the last start, to `cool` [s].
    double energy_in = 0.0, energy_stored = 0.0, energy_lost = 0.0;  ///< Of all steps [J].
    HeatHistory history;
    std::vector<MeasureValue> figures;
    Verdict verdict;
};

}  // namespace damper
