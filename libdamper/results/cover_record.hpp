// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <string>
#include <vector>

namespace damper {

/// The clutch with facings worn by so much: clamped, and with the bearing at full travel.
struct CoverState {
    std::string name;                                ///< "new", "now", "worn".
    double wear = 0.0;                               ///< Per face [m].
    double deflection = 0.0;                         ///< Of the spring, clamped [m].
    double clamp_load = 0.0;                         ///< Less what rests on the bearing [N].
    double root_sum_low = 0.0, root_sum_high = 0.0;  ///< Its tolerance band [N].
    double worst_low = 0.0, worst_high = 0.0;
    double pressure = 0.0;  ///< Mean, on the facings [Pa].
    // Torque that the clutch holds [N m].
    double capacity = 0.0;          ///< Warm, facings run in (uniform wear).
    double capacity_bedding = 0.0;  ///< Warm, facings new (uniform pressure).
    double capacity_hot = 0.0;      ///< Hot, run in.
    double capacity_hot_low = 0.0;  ///< The same at the low end of all tolerances (root sum).
    // At full travel of the bearing.
    double largest_bearing_load = 0.0;  ///< On the way there [N].
    double bearing_load = 0.0;          ///< There [N].
    double lift = 0.0;                  ///< Of the pressure plate, mean around it [m].
    double least_lift = 0.0;            ///< At its worst place, losses taken off [m].
    double clearance = 0.0;      ///< Between disc and plates, cushion sprung back; per disc [m].
    double margin = 0.0;         ///< Least lift less what discs need to turn freely [m].
    double free_travel = 0.0;    ///< Bearing travel at which the plate leaves the disc [m].
    double needed_travel = 0.0;  ///< Bearing travel at which the discs turn freely [m]; not a
                                 ///< number if none does.
    double finger_shift = 0.0;   ///< Bearing moved since new by wear, along the release way [m].
};

/// A point of the clamp load over wear.
struct CoverWearPoint {
    double wear = 0.0;        ///< Per face [m].
    double deflection = 0.0;  ///< [m]
    double clamp_load = 0.0;  ///< [N]
    double root_sum_low = 0.0, root_sum_high = 0.0, worst_low = 0.0, worst_high = 0.0;  ///< [N]
    double capacity = 0.0;      ///< Warm [N m]
    double capacity_hot = 0.0;  ///< [N m]
};

/// A point of the spring's own curve.
struct CoverSpringPoint {
    double deflection = 0.0;  ///< [m]
    double load = 0.0;        ///< [N]
};

/// A point on the way of the release bearing.
struct CoverReleasePoint {
    double travel = 0.0;        ///< [m]
    double bearing_load = 0.0;  ///< [N]
    double lift = 0.0;          ///< [m]
    double plate_load = 0.0;    ///< [N]
    double capacity = 0.0;      ///< Warm [N m]
};

struct CoverReleaseCurve {
    std::string state;  ///< "new", …
    std::vector<CoverReleasePoint> points;
};

/// Capacity over temperature.
struct CoverTemperaturePoint {
    double temperature = 0.0;  ///< [K]
    double friction = 0.0;
    double capacity_new = 0.0;   ///< [N m]
    double capacity_worn = 0.0;  ///< [N m]
};

/// What a change to the clutch would make of it.
struct CoverCase {
    std::string name;
    double clamp_load = 0.0;    ///< With new facings [N].
    double factor = 0.0;        ///< Capacity over torque, warm, new facings.
    double factor_worn = 0.0;   ///< Warm, worn.
    double bearing_load = 0.0;  ///< Largest, worn [N].
    double clearance = 0.0;     ///< New facings [m].
    double margin = 0.0;        ///< New facings [m].
};

/// A measured curve laid over the computed one.
struct CoverComparison {
    std::string what;     ///< "clamp load", "release load", "plate lift".
    std::string against;  ///< "wear", "bearing travel".
    std::string units;    ///< Of measured and computed.
    std::string file;
    std::string sha256;
    std::vector<double> x;  ///< [m]
    std::vector<double> measured;
    std::vector<double> computed;
    std::vector<double> deviation;  ///< Share; of the computed value for the clamp load, of the
                                    ///< largest computed value for the others.
    double mean = 0.0;              ///< Of the deviations.
    double largest = 0.0;           ///< By magnitude.
};

/// Everything that `damper cover` finds.
struct CoverRecord {
    RunIdentity identity;
    std::string cover;  ///< Titles.
    std::string facing;
    std::string release;           ///< "push" or "pull".
    double torque = 0.0;           ///< Engine torque to be held [N m].
    double warm = 0.0, hot = 0.0;  ///< Temperatures [K]
    double friction_warm = 0.0, friction_hot = 0.0;
    int discs = 1;
    double lever = 0.0;
    double travel = 0.0;           ///< Of the bearing at full pedal [m].
    double needed_lift = 0.0;      ///< Of the plate for the discs to turn freely [m].
    double wear_allowance = 0.0;   ///< Per face [m].
    double slip_wear = 0.0;        ///< Wear per face at which the warm clutch no longer holds the
                                   ///< torque [m]; the whole spring's way if never.
    double set_shift = 0.0;        ///< By grinding [m].
    double flat_deflection = 0.0;  ///< [m]
    double pedal_force = 0.0;      ///< Largest, of all states [N]; 0: pedal ratio not stated.
    std::vector<CoverState> states;
    std::vector<CoverSpringPoint> spring;
    std::vector<CoverWearPoint> wear;
    std::vector<CoverReleaseCurve> release_curves;
    std::vector<CoverTemperaturePoint> temperatures;
    std::vector<CoverCase> cases;
    std::vector<CoverComparison> comparisons;
    std::vector<MeasureValue> figures;  ///< What is judged.
    Verdict verdict;
};

}  // namespace damper
