// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <variant>
#include <vector>

namespace damper {

/// A torque that does not change.
struct ConstantTorque {
    double torque = 0.0;  ///< [N m]
};

/// A torque that goes linearly from one value to another and lags behind by a first-order delay.
struct TorqueRamp {
    double from = 0.0;   ///< [N m]
    double to = 0.0;     ///< [N m]
    double start = 0.0;  ///< [s]
    double rise = 0.0;   ///< Duration of the ramp without its lag [s], ≥ 0.
    double lag = 0.0;    ///< Time constant of the delay [s], ≥ 0.
};

/// A torque that swings in time, whatever the inertia does: mean + amplitude·sin(frequency·t +
/// phase).
struct SineTorque {
    double mean = 0.0;       ///< [N m]
    double amplitude = 0.0;  ///< [N m]
    double frequency = 0.0;  ///< Circular [rad/s]
    double phase = 0.0;      ///< [rad]
};

/// A torque measured or computed elsewhere, at equal steps of time: a curve through all values,
/// cubic from one to the next, with slopes from the neighbours (a parabola's at the ends). Before
/// the first and after the last value the torque stays as it is there.
struct RecordedTorque {
    double start = 0.0;          ///< Time of the first value [s].
    double step = 0.0;           ///< [s], > 0
    std::vector<double> values;  ///< [N m], at least two.

    /// The piece between value i and the next: coefficients in (time − start)/step − i.
    [[nodiscard]] std::array<double, 4> piece(std::size_t i) const;
};

/// One harmonic of a torque over crank angle: cosine·cos(order·θ) + sine·sin(order·θ).
struct CrankHarmonic {
    double order = 0.0;   ///< Multiple of crank speed; multiples of one half.
    double cosine = 0.0;  ///< [N m]
    double sine = 0.0;    ///< [N m]
};

/// Mean torque and harmonics over the actual crank angle.
struct CrankTorque {
    double mean = 0.0;                     ///< [N m]
    std::vector<CrankHarmonic> harmonics;  ///< Rising order.
};

/// A torque over crank angle that depends on the speed as well: at each of some speeds it is given,
/// and between two of them mean and harmonics go over straight from one to the other. Below the
/// first and above the last speed it stays as it is there. Other torques may take its place at
/// given times.
struct SpeedTorque {
    /// What holds from a time on, until the next one.
    struct Map {
        double from = 0.0;            ///< [s]; the first map holds before it as well.
        std::vector<CrankTorque> at;  ///< One for each speed, all of the same orders.
    };
    std::vector<double> speeds;  ///< [rad/s], rising, at least two.
    std::vector<Map> maps;       ///< By rising time, at least one.

    /// The map that holds at a time [s].
    [[nodiscard]] const Map& map_at(double t) const;
    /// The torque over crank angle at a time [s] and a steady speed [rad/s].
    [[nodiscard]] CrankTorque at(double t, double speed) const;
    /// Where a speed lies: the number of speeds that are not above it, 0 … speeds.size().
    [[nodiscard]] std::size_t piece_of(double speed) const;
};

/// Gives all torques over crank angle the orders of all of them, nothing in those that they lacked.
void give_same_orders(const std::vector<CrankTorque*>& torques);

/// A torque on one inertia as a function of time and of that inertia's total angle and speed.
using TorqueSource =
    std::variant<ConstantTorque, TorqueRamp, SineTorque, RecordedTorque, CrankTorque, SpeedTorque>;

/// [N m] at time `t` [s], angle `angle` [rad] and speed `speed` [rad/s], uniform rotation included.
[[nodiscard]] double torque(const TorqueSource& source, double t, double angle, double speed);

/// Its mean over the crank angle at a speed [rad/s], at time 0 [N m].
[[nodiscard]] double mean_torque(const TorqueSource& source, double speed);

/// Times at which the torque or its slope jumps; a solver steps onto them.
[[nodiscard]] std::vector<double> breakpoints(const TorqueSource& source);

/// Throws ModelError if a source is out of range (a recording without two values or a step, speeds
/// or times that do not rise, torques of different orders).
void check(const TorqueSource& source);

/// "constant", "ramp", "sine", "recording", "crank harmonics", "crank harmonics over speed".
[[nodiscard]] std::string kind(const TorqueSource& source);

}  // namespace damper
