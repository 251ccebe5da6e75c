// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/elements/torque_source.hpp"

#include <vector>

namespace damper {

/// Piston, rod and crank of one cylinder, without offset.
struct CrankGeometry {
    double bore = 0.0;                ///< [m]
    double stroke = 0.0;              ///< [m]
    double rod_length = 0.0;          ///< [m], > stroke/2
    double compression_ratio = 0.0;   ///< > 1
    double reciprocating_mass = 0.0;  ///< Piston, pin and the small end's share of the rod [kg].
};

/// Piston travel from top dead centre and its first two derivatives over crank angle
/// [m, m/rad, m/rad²]; exact kinematics, angle [rad] from top dead centre.
struct PistonMotion {
    double travel = 0.0;
    double slope = 0.0;
    double curvature = 0.0;
};
[[nodiscard]] PistonMotion piston_motion(const CrankGeometry& geometry, double angle);

/// Torque that the piston's mass asks of the crank at constant speed: −m·ω²·x'·x'' [N m].
///
/// Source of the series it is tested against: the classical expansion in λ = r/l, for example
/// J. P. Den Hartog, Mechanical Vibrations (recalled; coefficients recomputed in the test).
[[nodiscard]] double inertia_torque(const CrankGeometry& geometry, double angle, double speed);

/// Pressure and burning of one cylinder's cycle.
struct Burning {
    double intake_pressure = 0.0;   ///< At the start of compression, absolute [Pa].
    double exhaust_pressure = 0.0;  ///< During the exhaust stroke [Pa].
    double ambient_pressure = 0.0;  ///< Under the piston [Pa].
    double compression_exponent = 0.0;
    double expansion_exponent = 0.0;
    double start = 0.0;         ///< After top dead centre [rad].
    double duration = 0.0;      ///< [rad], > 0
    double shape = 0.0;         ///< m of x = 1 − exp(−a·y^(m+1)).
    double completeness = 0.0;  ///< a of the same.
};

/// Gas torque of one cylinder over its cycle as motored part plus heat times a unit response:
/// the pressure obeys p' = −n·p·V'/V + (n − 1)·Q·x'/V, which is linear in the heat Q.
///
/// Source of the burn law: I. I. Wiebe's function as given in textbooks of internal combustion
/// engines (recalled).
struct GasTorque {
    std::vector<double> motored;  ///< [N m], one cycle from −180° (start of compression) to 540°.
    std::vector<double> per_heat;  ///< [N m/J], the same angles.
    double first_angle = 0.0;      ///< [rad]
    double step = 0.0;             ///< [rad]
};
[[nodiscard]] GasTorque gas_torque(const CrankGeometry& geometry, const Burning& burning);

/// A whole engine from equal cylinders.
struct CylinderSet {
    CrankGeometry geometry;
    Burning burning;
    std::vector<double> firing_angles;  ///< Crank angle of each firing, in order of cylinder [rad].
    std::vector<double> gains;          ///< Share of its due heat, same order; 1 = healthy.
};

/// Mean torque of an engine in whose cylinders nothing burns [N m]; friction is none of it.
[[nodiscard]] double motored_mean(const CylinderSet& engine);

/// Torque of the engine over two revolutions at constant `speed` [rad/s]: the heat per cylinder is
/// such that with all gains 1 the mean is `mean_torque` [N m]; unequal gains keep the mean, as an
/// idle governor would. The mean is left out of the harmonics and returned as `mean`.
/// Throws ModelError if no heat can do it (the cylinders cannot burn less than nothing).
[[nodiscard]] CrankTorque engine_torque(const CylinderSet& engine, double speed,
                                        double mean_torque);

/// A measured cycle of one cylinder, the same in all.
struct MeasuredCycle {
    std::vector<double>
        angle;  ///< Rising over one cycle; 0 is the top dead centre of firing [rad].
    std::vector<double> pressure;   ///< Absolute [Pa].
    double ambient_pressure = 0.0;  ///< Under the piston [Pa].
};

/// Torque of the engine over two revolutions at constant `speed` [rad/s] from a measured cycle:
/// between its angles the pressure goes by cubics (modified Akima slopes). The mean of the gas
/// torque, friction aside, is that of the cycle.
/// Throws ModelError for a cycle of fewer than four values or impossible geometry.
[[nodiscard]] CrankTorque engine_torque(const CrankGeometry& geometry, const MeasuredCycle& cycle,
                                        const std::vector<double>& firing_angles, double speed);

}  // namespace damper
