// SPDX-License-Identifier: MIT
#include "libdamper/studies/starter.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <vector>

namespace damper {

namespace {

constexpr double gravity = 9.80665;  // m/s², standard value
constexpr double driven_wheels = 2.0;
constexpr double warm = 273.15 + 100.0;  // K

/// Engine speed of a start by class of vehicle [rad/s]; common practice, no source.
double usual_speed(const std::string& vehicle_class) {
    const double rpm = vehicle_class == "car"            ? 1500.0
                       : vehicle_class == "light van"    ? 1400.0
                       : vehicle_class == "medium truck" ? 1100.0
                                                         : 900.0;
    return rpm * std::numbers::pi / 30.0;
}

const GearPair& gear_of(const Vehicle& vehicle, const std::string& name) {
    const GearPair* lowest = nullptr;
    std::vector<std::string> names;
    for (const GearPair& gear : vehicle.gearbox.gears) {
        names.push_back(gear.name);
        if (!name.empty() && gear.name == name) return gear;
        const bool reverse = gear.name.starts_with('R') || gear.name.starts_with('r');
        if (reverse && vehicle.gearbox.gears.size() > 1) continue;
        if (lowest == nullptr || gear.ratio > lowest->ratio) lowest = &gear;
    }
    if (name.empty() && lowest != nullptr) return *lowest;
    throw InputError(
        fmt::format("--gear \"{}\": expected one of {}", name, fmt::join(names, ", ")));
}

BehindClutch behind_of(const Vehicle& vehicle, const GearPair& gear) {
    const double ratio = gear.ratio.si();
    const double to_wheel = ratio * vehicle.axle.final_drive.si();
    const double r = vehicle.tyre.rolling_radius.si();
    const double wheels =
        driven_wheels * (vehicle.tyre.rim_inertia.si() + vehicle.tyre.belt_inertia.si());
    const double at_wheel =
        vehicle.body.mass.si() * r * r + wheels + vehicle.axle.differential_inertia.si();
    const double at_shaft =
        vehicle.gearbox.output_inertia.si() + vehicle.axle.propshaft_inertia.si();
    BehindClutch behind;
    behind.radius = r / to_wheel;
    behind.weight = vehicle.body.mass.si() * gravity;
    behind.rolling = vehicle.tyre.rolling_resistance.si();
    behind.drag = vehicle.gearbox.shaft_drag_constant.si() + vehicle.axle.drag.si() / to_wheel;
    behind.inertia = vehicle.disc.hub_inertia.si() + vehicle.gearbox.input_inertia.si() +
                     at_shaft / (ratio * ratio) + at_wheel / (to_wheel * to_wheel);
    return behind;
}

}  // namespace

double BehindClutch::load(double grade) const {
    const double slope = std::atan(grade);
    return weight * (std::sin(slope) + rolling * std::cos(slope)) * radius + drag;
}

Starter::Starter(const Vehicle& vehicle, const HeatSettings& settings)
    : settings_(settings),
      clutch_(clutch_model(vehicle)),
      heat_(heat_model(vehicle)),
      network_(heat_.network()) {
    const GearPair& gear = gear_of(vehicle, settings.gear);
    gear_ = gear.name;
    behind_ = behind_of(vehicle, gear);
    peak_torque_ = vehicle.engine.peak_torque.si();
    engine_inertia_ = vehicle.engine.inertia.si() + vehicle.disc.facing_inertia.si();
    engine_speed_ =
        settings.engine_speed > 0.0 ? settings.engine_speed : usual_speed(vehicle.vehicle_class);
    radius_ = friction_radius(clutch_.outer_diameter, clutch_.inner_diameter,
                              PressureSpread::uniform_wear);
    clamp_load_ = plate_load_under(clutch_.worn_by(clutch_.wear_now), clutch_.bearing_preload);
    facing_area_ =
        clutch_.faces * damper::facing_area(clutch_.outer_diameter, clutch_.inner_diameter);
}

double Starter::capacity(double temperature) const {
    return torque_capacity(clutch_.faces, clutch_.friction_at(temperature), clamp_load_, radius_);
}

double Starter::torque_wanted(double grade) const {
    if (settings_.clutch_torque > 0.0) return settings_.clutch_torque;
    constexpr double share_of_peak = 0.5;  // common practice, no source
    constexpr double over_load = 1.4;      // common practice, no source
    const double wanted = std::max(share_of_peak * peak_torque_, over_load * behind_.load(grade));
    return std::min(wanted, capacity(warm));
}

Start Starter::start(double clutch_torque, double grade) const {
    Start one;
    one.engine_inertia = engine_inertia_;
    one.vehicle_inertia = behind_.inertia;
    one.engine_speed = engine_speed_;
    one.clutch_torque = clutch_torque;
    one.engine_torque = settings_.engine_torque < 0.0 ? clutch_torque : settings_.engine_torque;
    one.load_torque = behind_.load(grade);
    return one;
}

Starter::Face Starter::hottest_face(const StartHeat& heat, const Eigen::VectorXd& bulk) const {
    Face face;
    for (Eigen::Index i = 0; i < network_.size(); ++i) {
        const double flux = heat_.share(i) * heat.first_power / heat_.face_area(i);
        const double rise = largest_face_rise(flux, heat.slip_time, heat_.effusivity(i));
        face.rise = std::max(face.rise, rise);
        face.temperature = std::max(face.temperature, settings_.surroundings + bulk(i) + rise);
    }
    return face;
}

}  // namespace damper
