// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace damper {

/// Laws that are not piecewise linear. Only solvers that evaluate torques as they come take them.
/// Each opposes the rate of its row; `reference` is the speed of one chosen inertia [rad/s].

/// Rolling and air resistance and the slope, as a torque on the vehicle's inertia (mass times
/// radius squared, turning at wheel speed).
///
///     τ = rolling·tanh(ω/ω₀) + grade + air·ω·|ω|
///
/// with ω₀ so small that it only rounds the corner at standstill.
struct RoadLoad {
    double rolling = 0.0;      ///< Rolling resistance force times radius [N m], ≥ 0.
    double grade = 0.0;        ///< Slope force times radius [N m]; negative downhill.
    double air = 0.0;          ///< ½·ρ·c_d·A·r³ [N m s²/rad²], ≥ 0.
    double standstill = 0.05;  ///< ω₀ [rad/s], > 0.
};

/// Tyre slip with a limited force: the road takes F = grip·tanh(C·s/grip) at the slip
/// s = r·(ω_belt − ω_vehicle)/v, v = max(r·|ω_vehicle|, v₀). Linear in small slip with slope C.
/// The shape is a plain saturation chosen here: right in slope and limit, not in between.
struct TyreSlip {
    double slip_stiffness = 0.0;  ///< C [N], > 0.
    double grip = 0.0;            ///< Largest force [N], > 0.
    double radius = 0.0;          ///< r [m], > 0.
    double lowest_speed = 0.5;    ///< v₀ [m/s], > 0.
};

using SmoothLaw = std::variant<RoadLoad, TyreSlip>;

/// Torque that opposes the rate [N m].
[[nodiscard]] double torque(const SmoothLaw& law, double rate, double reference);

/// Its derivative with respect to the rate, the reference held [N m s/rad].
[[nodiscard]] double damping(const SmoothLaw& law, double rate, double reference);

/// "road load", "tyre slip".
[[nodiscard]] std::string kind(const SmoothLaw& law);

/// Name and SI value of each parameter.
[[nodiscard]] std::vector<std::pair<std::string, double>> parameters(const SmoothLaw& law);

}  // namespace damper
