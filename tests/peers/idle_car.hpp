// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/scenario/scenario.hpp"

#include <array>
#include <cstddef>
#include <vector>

namespace damper::peers {

/// One stage of the disc as a spring between stops beside a washer that grips and slips.
///
/// Spring torque over its own twist, followed outwards from zero on either side: a stiff seat up
/// to the torque that has been reached when the stage begins, the stage itself, and a stiff stop.
struct Stage {
    double contact = 0.0;                  ///< Stiffness of seat and stop [N m/rad]
    std::array<double, 2> stiffness = {};  ///< Of the springs, coast and drive [N m/rad]
    std::array<double, 2> seat = {};       ///< Twist where the springs begin to give, ≥ 0 [rad]
    std::array<double, 2> end = {};        ///< Twist where the stop begins, ≥ 0 [rad]
    double grip = 0.0;                     ///< Of the washer [N m/rad]; 0: no washer
    double limit = 0.0;                    ///< Torque at which the washer slips [N m]

    [[nodiscard]] double spring(double twist) const;
};

/// A loose gear driven through teeth with play, held back by its drag.
struct LooseGear {
    double ratio = 0.0;     ///< Its speed over the input shaft's
    double inertia = 0.0;   ///< [kg m2]
    double half_gap = 0.0;  ///< [rad]
    double k = 0.0;         ///< Of the teeth [N m/rad]
    double c = 0.0;         ///< Of the teeth while they push [N m s/rad]
    double drag = 0.0;      ///< [N m]
    double viscous = 0.0;   ///< [N m s/rad]
};

struct Harmonic {
    double order = 0.0, cosine = 0.0, sine = 0.0;
};

/// The numbers of a vehicle idling in neutral with its clutch closed.
struct IdleCar {
    double speed = 0.0;         ///< Mean [rad/s]
    double engine = 0.0;        ///< Inertia with the disc's facings [kg m2]
    double input = 0.0;         ///< Inertia with the disc's hub [kg m2]
    double disc_damping = 0.0;  ///< Across the whole disc [N m s/rad]
    double shaft_drag = 0.0, shaft_viscous = 0.0;
    double crank_angle = 0.0;  ///< At the start, in the angle of the harmonics [rad]
    std::vector<Stage> stages;
    std::vector<LooseGear> gears;
    std::vector<Harmonic> harmonics;

    /// Steady torque through the disc [N m].
    [[nodiscard]] double drag() const;
};

/// Takes the numbers from the description and from the assembled driveline; nothing else.
[[nodiscard]] IdleCar idle_car(const Scenario& scenario);

/// Which formulas the reference is integrated with.
enum class Formulas { bdf, adams };

struct Course {
    std::vector<double> input_speed;  ///< At every sample [rad/s]
    struct Touch {
        double time = 0.0;   ///< [s]
        double speed = 0.0;  ///< At which the teeth close [rad/s]
    };
    std::vector<Touch> touches;
    std::vector<double> start;  ///< Twist of the disc, then of each gear's play [rad]
    long steps = 0;
    long evaluations = 0;
    long restarts = 0;
};

constexpr double angle_per_speed = 1e-3;  ///< s: angles are held to a thousandth of the speeds.
constexpr double largest_step = 5e-4;     ///< [s]

/// Gears that only chatter on the noise of a loose tolerance would switch for ever: throws
/// std::runtime_error beyond a hundred thousand switches a second and a thousand to begin with.
void bound_switches(long switches, double t);

/// Integrates the idle car up to `end` [s], samples every `step` [s], with SUNDIALS CVODE at the
/// absolute tolerance `tolerance`·1 rad/s for speeds and a thousandth of that for angles, restarted
/// at every switch. BDF with Newton's method and a dense Jacobian by differences, Adams with
/// fixed-point iteration: what the library's manual names as usual for each.
/// Throws std::runtime_error when CVODE does or by bound_switches.
[[nodiscard]] Course integrate(const IdleCar& car, Formulas formulas, double end, double step,
                               double tolerance);

/// The same with the explicit Runge–Kutta 5(4) pair of Boost.Odeint with dense output: switches are
/// found on the interpolant, and nothing is carried that the motion does not need. Throws
/// std::runtime_error by bound_switches.
[[nodiscard]] Course integrate_explicitly(const IdleCar& car, double end, double step,
                                          double tolerance);

}  // namespace damper::peers
