// SPDX-License-Identifier: MIT
#pragma once

#include <compare>

namespace damper {

/// Exponents of the base dimensions. Angle is one of them here, so that a torque, a torque per
/// angle and a torque per angular speed differ. Energy is torque times angle and so carries an
/// angle too: "J" and "N m" are not the same thing in a description file.
struct Dimension {
    int mass = 0;
    int length = 0;
    int time = 0;
    int temperature = 0;
    int angle = 0;
    friend constexpr bool operator==(const Dimension&, const Dimension&) = default;
};

/// A number with its dimension, kept in SI. Exists at the border between files and physics;
/// it compares and prints but does not multiply: physics is written in SI doubles.
template <Dimension D>
class Quantity {
  public:
    static constexpr Dimension dimension = D;
    constexpr Quantity() = default;
    [[nodiscard]] static constexpr Quantity from_si(double value) {
        Quantity quantity;
        quantity.value_ = value;
        return quantity;
    }
    [[nodiscard]] constexpr double si() const { return value_; }
    // NOLINTNEXTLINE(modernize-use-nullptr): a false alarm of clang-tidy 14 at a defaulted <=>
    friend constexpr auto operator<=>(const Quantity&, const Quantity&) = default;

  private:
    double value_ = 0.0;
};

using Ratio = Quantity<Dimension{}>;                                      // 1
using Angle = Quantity<Dimension{.angle = 1}>;                            // rad
using AngularSpeed = Quantity<Dimension{.time = -1, .angle = 1}>;         // rad/s
using Torque = Quantity<Dimension{.mass = 1, .length = 2, .time = -2}>;   // N m
using Stiffness = Quantity<Dimension{1, 2, -2, 0, -1}>;                   // N m/rad
using Damping = Quantity<Dimension{1, 2, -1, 0, -1}>;                     // N m s/rad
using Inertia = Quantity<Dimension{.mass = 1, .length = 2}>;              // kg m2
using Energy = Quantity<Dimension{1, 2, -2, 0, 1}>;                       // J
using Power = Quantity<Dimension{1, 2, -3, 0, 1}>;                        // W
using Impulse = Quantity<Dimension{.mass = 1, .length = 2, .time = -1}>;  // N m s
using Time = Quantity<Dimension{.time = 1}>;                              // s
using Rate = Quantity<Dimension{.time = -1}>;                             // 1/s, Hz
using Length = Quantity<Dimension{.length = 1}>;                          // m
using Area = Quantity<Dimension{.length = 2}>;                            // m2
using Mass = Quantity<Dimension{.mass = 1}>;                              // kg
using Force = Quantity<Dimension{.mass = 1, .length = 1, .time = -2}>;    // N
using Pressure = Quantity<Dimension{1, -1, -2, 0, 0}>;                    // Pa
using Speed = Quantity<Dimension{.length = 1, .time = -1}>;               // m/s
using Acceleration = Quantity<Dimension{.length = 1, .time = -2}>;        // m/s2
using Jerk = Quantity<Dimension{.length = 1, .time = -3}>;                // m/s3
using AngularAcceleration = Quantity<Dimension{.time = -2, .angle = 1}>;  // rad/s2
using KinematicViscosity = Quantity<Dimension{.length = 2, .time = -1}>;  // m2/s
using Density = Quantity<Dimension{.mass = 1, .length = -3}>;             // kg/m3
using Temperature = Quantity<Dimension{.temperature = 1}>;                // K, absolute
using SpecificHeat = Quantity<Dimension{0, 2, -2, -1, 1}>;                // J/(kg K)
using Conductance = Quantity<Dimension{1, 2, -3, -1, 1}>;                 // W/K
using Conductivity = Quantity<Dimension{1, 1, -3, -1, 1}>;                // W/(m K)
using SlipGradient = Quantity<Dimension{.length = -1, .time = 1}>;        // s/m

}  // namespace damper
