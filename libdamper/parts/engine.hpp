// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/quantity/quantity.hpp"

#include <string>
#include <vector>

namespace damper {

/// One harmonic of the engine's torque. The torque is amplitude·sin(order·crank angle + phase).
struct TorqueHarmonic {
    Ratio order;       ///< Multiple of crank speed; multiples of one half. > 0
    Torque amplitude;  ///< 0-to-peak, at the load in question. ≥ 0
    Angle phase;       ///< Of the harmonic, in its own angle.
};

/// Heat release and compression of one cylinder.
struct Combustion {
    Pressure intake_pressure;  ///< In the cylinder at the start of compression at idle, absolute.
    Pressure full_pressure;    ///< The same at full load; loads between are interpolated.
    Ratio compression_exponent;
    Ratio expansion_exponent;
    Angle start;         ///< Start of heat release after top dead centre, negative before.
    Angle duration;      ///< Of the heat release.
    Ratio shape;         ///< Exponent m of the burn law x = 1 − exp(−a·y^(m+1)).
    Ratio completeness;  ///< Factor a of the burn law; 6.9 burns 99.9 %.
};

/// Pressure of one cylinder over a cycle, measured at the load in question.
struct PressureTrace {
    std::vector<double> angle;     ///< Rising, from the top dead centre of firing [rad].
    std::vector<double> pressure;  ///< Absolute [Pa].
};

/// A point of a torque curve over engine speed.
struct TorquePoint {
    AngularSpeed speed;
    Torque torque;  ///< Positive, on the overrun curve too.
};

/// Engine with flywheel and clutch cover.
struct Engine {
    std::string title;
    std::string origin;
    std::string torque;             ///< "cylinder pressure", "pressure trace" or "harmonics".
    int cylinders = 0;              ///< 1…16
    std::vector<int> firing_order;  ///< Cylinder numbers in order of firing; each once.
    std::vector<Angle>
        firing_intervals;               ///< Crank angle from each firing to the next; empty: even.
    std::vector<Ratio> cylinder_gains;  ///< Share of its due heat per cylinder; empty: all 1.
    Length bore;
    Length stroke;
    Length rod_length;
    Ratio compression_ratio;
    Mass reciprocating_mass;   ///< Per cylinder.
    Inertia inertia;           ///< Crankshaft, solid flywheel and cover.
    Inertia flywheel_inertia;  ///< What of it a two-mass flywheel replaces: flywheel and cover.
    AngularSpeed idle_speed;
    AngularSpeed top_speed;  ///< Highest one in use; 0: not stated (parts/top_speed.hpp).
    Torque peak_torque;
    Torque friction_torque;              ///< Motored, at idle; the combustion makes this good too.
    Torque overrun_torque;               ///< Motored, foot off; positive number.
    std::vector<TorquePoint> full_load;  ///< By rising speed; empty: `peak_torque` at any speed.
    std::vector<TorquePoint> overrun;    ///< The same, foot off; empty: `overrun_torque`.
    Damping idle_governor;       ///< Torque that it adds per speed that is missing to idle speed.
    Torque starter_torque;       ///< Of the starter at the crankshaft at standstill; 0: none known.
    AngularSpeed starter_speed;  ///< Of the crankshaft at which the starter's torque is used up.
    Combustion combustion;       ///< Used when torque = "cylinder pressure".
    std::vector<TorqueHarmonic> harmonics;  ///< Used when torque = "harmonics".
    std::string pressure_trace;  ///< Name of a file; used when torque = "pressure trace".
    PressureTrace trace;         ///< What that file holds.
};

}  // namespace damper
