// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <string>
#include <vector>

namespace damper {

/// A response over frequency: amplitude per newton metre of the torque that swings.
struct ResponseCurve {
    std::string name;   ///< Key: "flywheel_speed".
    std::string label;  ///< "speed of the flywheel".
    std::string units;  ///< UDUNITS: "(rad/s)/(N.m)", "1" for torque per torque, …
    std::vector<double> magnitude;
    std::vector<double> phase;  ///< Against the torque; positive runs ahead [rad].
    struct Top {
        double frequency = 0.0;  ///< [Hz]
        double peak = 0.0;       ///< In `units`.
        double damping = 0.0;    ///< Half the −3 dB width over the frequency; NaN: none to tell.
    };
    std::vector<Top> tops;  ///< Rising in frequency.
};

/// Speed swing of the gearbox input over that of the flywheel, with one stage of the disc moving.
struct StageIsolation {
    std::string stage;       ///< "idle", "main", …
    std::string side;        ///< "drive" or "coast".
    double torque = 0.0;     ///< Steady, through the disc: the middle of the stage [N m].
    double stiffness = 0.0;  ///< Of the whole disc there, friction slipping [N m/rad].
    std::vector<double> slips, sticks;               ///< Over frequency.
    double slips_firing = 0.0, sticks_firing = 0.0;  ///< At the firing frequency.
};

/// What one frequency makes of the disc at the swing it meets (equivalent linearisation).
struct EquivalentRow {
    double frequency = 0.0;   ///< [Hz]
    double twist = 0.0;       ///< Amplitude of the disc's twist [rad].
    double mean_twist = 0.0;  ///< [rad]
    double stiffness = 0.0;   ///< [N m/rad]
    double damping = 0.0;     ///< [N m s/rad]
    double isolation = 0.0;   ///< Gearbox input over flywheel.
    double mismatch = 0.0;    ///< Swing answered against swing assumed, as a share.
    /// A second, smaller swing that is held at the same frequency; 0: there is none.
    double smaller_twist = 0.0;
    double smaller_isolation = 0.0;
};

/// Everything that `damper response` leaves behind.
struct ResponseRecord {
    RunIdentity identity;  ///< `manoeuvre` is "response".

    std::string gear;             ///< "neutral" or the name of a gear.
    double speed = 0.0;           ///< Of the engine [rad/s].
    double torque = 0.0;          ///< Of the engine, mean [N m].
    double disc_torque = 0.0;     ///< Steady [N m].
    std::string stage;            ///< That moves: "idle", …, "between stages", "stop".
    double disc_stiffness = 0.0;  ///< [N m/rad]
    double firing_order = 0.0;
    double firing_frequency = 0.0;  ///< [Hz]
    double firing_torque = 0.0;     ///< Amplitude of the engine's torque at that order [N m].

    std::string from;               ///< "engine torque", or "torque on …".
    std::string friction;           ///< Of the curves: "slips", "sticks" or "equivalent".
    double swing = 0.0;             ///< Amplitude of the torque in equivalent linearisation [N m].
    std::string swinging = "disc";  ///< Whose swing is met: the disc's or a two-mass flywheel's.

    /// The linear driveline at the operating point, friction slipping.
    struct Inertia {
        std::string name;
        double inertia = 0.0;  ///< [kg m²]
    };
    struct Element {
        std::string name;
        double stiffness = 0.0, damping = 0.0;  ///< [N m/rad], [N m s/rad]
    };
    struct Coefficient {
        int element = 0, inertia = 0;
        double coefficient = 0.0;
    };
    std::vector<Inertia> inertias;
    std::vector<Element> elements;
    std::vector<Coefficient> rows;

    std::vector<double> frequency;  ///< Of curves and stages [Hz], rising.
    std::vector<ResponseCurve> curves;
    std::vector<StageIsolation> stages;
    std::vector<EquivalentRow> equivalent;  ///< At each frequency; or empty.
    EquivalentRow at_firing;                ///< The same at the firing frequency.
    std::vector<std::string> remarks;       ///< Jumps, what did not agree, what was left out.
};

}  // namespace damper
