// SPDX-License-Identifier: MIT
#include "libdamper/quantity/unit_table.hpp"

#include <array>
#include <numbers>

namespace damper {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double pound = 0.45359237;             // [kg]
constexpr double foot = 0.3048;                  // [m]
constexpr double inch = 0.0254;                  // [m]
constexpr double pound_force = pound * 9.80665;  // [N]

constexpr std::string_view si = "SI, exact";
constexpr std::string_view turn = "exact: one turn is 2 pi rad, 360 deg";
constexpr std::string_view yard = "exact by the international yard and pound agreement of 1959";
constexpr std::string_view gravity = "exact: 1959 pound times standard gravity 9.80665 m/s2";
constexpr std::string_view defined = "exact by definition";

constexpr Dimension one = Ratio::dimension;
constexpr Dimension angle = Angle::dimension;
constexpr Dimension time = Time::dimension;
constexpr Dimension length = Length::dimension;
constexpr Dimension mass = Mass::dimension;
constexpr Dimension force = Force::dimension;
constexpr Dimension torque = Torque::dimension;
constexpr Dimension energy = Energy::dimension;
constexpr Dimension power = Power::dimension;
constexpr Dimension pressure = Pressure::dimension;
constexpr Dimension kelvin = Temperature::dimension;

constexpr auto units = std::to_array<Unit>({
    {"1", 1.0, 0.0, one, defined},
    {"%", 0.01, 0.0, one, defined},
    {"percent", 0.01, 0.0, one, defined},
    {"rad", 1.0, 0.0, angle, si},
    {"mrad", 1e-3, 0.0, angle, si},
    {"deg", pi / 180.0, 0.0, angle, turn},
    {"degree", pi / 180.0, 0.0, angle, turn},
    {"degrees", pi / 180.0, 0.0, angle, turn},
    {"°", pi / 180.0, 0.0, angle, turn},
    {"rev", 2.0 * pi, 0.0, angle, turn},
    {"rpm", pi / 30.0, 0.0, AngularSpeed::dimension, turn},
    {"s", 1.0, 0.0, time, si},
    {"ms", 1e-3, 0.0, time, si},
    {"us", 1e-6, 0.0, time, si},
    {"µs", 1e-6, 0.0, time, si},
    {"min", 60.0, 0.0, time, defined},
    {"h", 3600.0, 0.0, time, defined},
    {"Hz", 1.0, 0.0, Rate::dimension, si},
    {"kHz", 1e3, 0.0, Rate::dimension, si},
    {"m", 1.0, 0.0, length, si},
    {"km", 1e3, 0.0, length, si},
    {"cm", 1e-2, 0.0, length, si},
    {"mm", 1e-3, 0.0, length, si},
    {"um", 1e-6, 0.0, length, si},
    {"µm", 1e-6, 0.0, length, si},
    {"in", inch, 0.0, length, yard},
    {"ft", foot, 0.0, length, yard},
    {"kg", 1.0, 0.0, mass, si},
    {"g", 1e-3, 0.0, mass, si},
    {"t", 1e3, 0.0, mass, defined},
    {"lb", pound, 0.0, mass, yard},
    {"N", 1.0, 0.0, force, si},
    {"kN", 1e3, 0.0, force, si},
    {"lbf", pound_force, 0.0, force, gravity},
    {"Nm", 1.0, 0.0, torque, si},
    {"mNm", 1e-3, 0.0, torque, si},
    {"kNm", 1e3, 0.0, torque, si},
    {"Nmm", 1e-3, 0.0, torque, si},
    {"Nms", 1.0, 0.0, Impulse::dimension, si},
    {"kgm2", 1.0, 0.0, Inertia::dimension, si},
    {"kgm²", 1.0, 0.0, Inertia::dimension, si},
    {"kgm^2", 1.0, 0.0, Inertia::dimension, si},
    {"J", 1.0, 0.0, energy, si},
    {"kJ", 1e3, 0.0, energy, si},
    {"mJ", 1e-3, 0.0, energy, si},
    {"uJ", 1e-6, 0.0, energy, si},
    {"µJ", 1e-6, 0.0, energy, si},
    {"W", 1.0, 0.0, power, si},
    {"kW", 1e3, 0.0, power, si},
    {"mW", 1e-3, 0.0, power, si},
    {"Pa", 1.0, 0.0, pressure, si},
    {"kPa", 1e3, 0.0, pressure, si},
    {"MPa", 1e6, 0.0, pressure, si},
    {"bar", 1e5, 0.0, pressure, defined},
    {"mbar", 1e2, 0.0, pressure, defined},
    {"psi", pound_force / (inch * inch), 0.0, pressure, gravity},
    {"cSt", 1e-6, 0.0, KinematicViscosity::dimension, "exact: one hundredth of 1 cm2/s"},
    {"K", 1.0, 0.0, kelvin, si},
    {"degC", 1.0, 273.15, kelvin, defined},
    {"°C", 1.0, 273.15, kelvin, defined},
    {"degF", 5.0 / 9.0, 459.67 * 5.0 / 9.0, kelvin, defined},
    {"°F", 5.0 / 9.0, 459.67 * 5.0 / 9.0, kelvin, defined},
});

constexpr auto names = std::to_array<DimensionName>({
    {one, "a plain number", "0.95", "", "1"},
    {angle, "an angle", "6 deg", "deg", "rad"},
    {AngularSpeed::dimension, "an angular speed", "800 rpm", "rpm", "rad/s"},
    {torque, "a torque", "150 N m", "N m", "N.m"},
    {Stiffness::dimension, "a torque per angle", "18 N m/deg", "N m/deg", "N.m/rad"},
    {Damping::dimension, "a torque per angular speed", "0.5 N m s/rad", "N m s/rad", "N.m.s/rad"},
    {Inertia::dimension, "a moment of inertia", "0.14 kg m2", "kg m2", "kg.m2"},
    {energy, "an energy", "5 mJ", "J", "J"},
    {power, "a power", "10 W", "W", "W"},
    {Impulse::dimension, "a torque impulse", "0.02 N m s", "N m s", "N.m.s"},
    {time, "a time", "0.5 s", "s", "s"},
    {Rate::dimension, "a number per time", "25 Hz", "Hz", "1/s"},
    {length, "a length", "86 mm", "mm", "m"},
    {Area::dimension, "an area", "2.2 m2", "m2", "m2"},
    {mass, "a mass", "1400 kg", "kg", "kg"},
    {force, "a force", "40 kN", "N", "N"},
    {pressure, "a pressure", "100 kPa", "kPa", "Pa"},
    {Speed::dimension, "a speed", "50 km/h", "km/h", "m/s"},
    {Acceleration::dimension, "an acceleration", "1.5 m/s2", "m/s2", "m/s2"},
    {Jerk::dimension, "a jerk", "20 m/s3", "m/s3", "m/s3"},
    {AngularAcceleration::dimension, "an angular acceleration", "400 rad/s2", "rad/s2", "rad/s2"},
    {KinematicViscosity::dimension, "a kinematic viscosity", "68 mm2/s", "mm2/s", "m2/s"},
    {Density::dimension, "a density", "1.2 kg/m3", "kg/m3", "kg/m3"},
    {kelvin, "a temperature", "80 degC", "degC", "K"},
    {SpecificHeat::dimension, "a heat per mass and degree", "500 J kg-1 K-1", "J kg-1 K-1",
     "J.kg-1.K-1"},
    {Conductance::dimension, "a heat flow per degree", "12 W/K", "W/K", "W/K"},
    {Conductivity::dimension, "a heat conductivity", "50 W m-1 K-1", "W m-1 K-1", "W.m-1.K-1"},
    {SlipGradient::dimension, "a number per speed", "-0.002 s/m", "s/m", "s/m"},
});

}  // namespace

std::span<const Unit> unit_table() {
    return units;
}

std::span<const DimensionName> dimension_names() {
    return names;
}

const DimensionName* name_of(const Dimension& dimension) {
    for (const auto& name : names) {
        if (name.dimension == dimension) return &name;
    }
    return nullptr;
}

}  // namespace damper
