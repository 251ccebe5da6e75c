// SPDX-License-Identifier: MIT
#include "libdamper/assemble/assemble.hpp"
#include "libdamper/assemble/engine.hpp"
#include "libdamper/assemble/mounts.hpp"
#include "libdamper/driveline/steady_state.hpp"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace damper {

namespace {

/// Evenly spaced speeds over a range and somewhat beyond its ends, where ripple and shuffle go.
std::vector<double> speeds_over(double low, double high) {
    constexpr double widest = 10.0;  // rad/s from one to the next
    constexpr double beyond = 0.15;  // of each end
    const double first = (1.0 - beyond) * low;
    const double last = (1.0 + beyond) * high;
    const int pieces = std::max(2, static_cast<int>(std::ceil((last - first) / widest)));
    std::vector<double> speeds;
    for (int i = 0; i <= pieces; ++i) speeds.push_back(first + (last - first) * i / pieces);
    return speeds;
}

/// The same driveline in uniform motion at another engine speed, under a steady engine torque:
/// acceleration of the vehicle's inertia [rad/s²].
double acceleration_at(const Assembled& assembled, double speed, double torque) {
    Driveline line = assembled.line;
    const double ratio =
        speed / line.masses[static_cast<std::size_t>(assembled.engine)].reference_speed;
    for (RotatingMass& mass : line.masses) mass.reference_speed *= ratio;
    line.inputs = {
        {.name = "engine torque", .inertia = assembled.engine, .source = ConstantTorque{torque}}};
    return steady_state(line).acceleration[static_cast<std::size_t>(assembled.vehicle)];
}

/// Engine speed over the speed of the vehicle's inertia, both at reference.
double vehicle_ratio(const Assembled& assembled) {
    const std::vector<RotatingMass>& masses = assembled.line.masses;
    return masses[static_cast<std::size_t>(assembled.engine)].reference_speed /
           masses[static_cast<std::size_t>(assembled.vehicle)].reference_speed;
}

/// Of everything that turns, referred to the vehicle's inertia [kg m²].
double inertia_at_vehicle(const Assembled& assembled) {
    const std::vector<RotatingMass>& masses = assembled.line.masses;
    const double own = masses[static_cast<std::size_t>(assembled.vehicle)].reference_speed;
    double sum = 0.0;
    for (const RotatingMass& mass : masses) {
        const double ratio = mass.reference_speed / own;
        sum += mass.inertia * ratio * ratio;
    }
    return sum;
}

/// The brake of a roller bench: at each speed what is left to an even acceleration.
SpeedTorque roller_brake(const Assembled& assembled, const SpeedTorque& engine,
                         double acceleration) {
    const double ratio = vehicle_ratio(assembled);
    const double inertia = inertia_at_vehicle(assembled);
    SpeedTorque out{.speeds = {}, .maps = {{.from = 0.0, .at = {}}}};
    for (std::size_t i = 0; i < engine.speeds.size(); ++i) {
        const double alone =
            acceleration_at(assembled, engine.speeds[i], engine.maps[0].at[i].mean);
        out.speeds.push_back(engine.speeds[i] / ratio);
        out.maps[0].at.push_back({.mean = inertia * (acceleration - alone), .harmonics = {}});
    }
    return out;
}

}  // namespace

Assembled assemble_speed_run(const Vehicle& vehicle, const SpeedRun& run, bool pulling,
                             const Conditions& conditions) {
    const double from = run.from.si();
    const double to = run.to.si();
    const double sweep = run.sweep.si();
    const bool bench = sweep > 0.0;
    Assembled out = assemble_driven(
        vehicle,
        {.gear = run.gear, .speed = from, .slip_speed = 0.5 * (from + to), .road_load = !bench},
        conditions);
    const double load = run.load.si();
    const Engine& engine = vehicle.engine;
    const SpeedTorque torque = speed_torque(
        engine, speeds_over(std::min(from, to), std::max(from, to)),
        [&](double speed) {
            return load *
                   (pulling ? full_load_torque(engine, speed) : -motored_torque(engine, speed));
        },
        0.0);
    const double ratio = vehicle_ratio(out);
    if (bench) {
        SpeedTorque brake = roller_brake(out, torque, (to - from) / (ratio * sweep));
        out.line.inputs.push_back(
            {.name = "roller brake", .inertia = out.vehicle, .source = std::move(brake)});
    }
    out.line.inputs.push_back({.name = "engine torque", .inertia = out.engine, .source = torque});
    lean_on_power_unit(out);
    out.end_speed = to / ratio;
    return out;
}

Assembled assemble_creep(const Vehicle& vehicle, const Creep& creep, const Conditions& conditions) {
    const Engine& engine = vehicle.engine;
    const double idle = engine.idle_speed.si();
    Assembled out = assemble_driven(
        vehicle, {.gear = creep.gear, .speed = idle, .slip_speed = idle}, conditions);
    // What holds the idle speed: the uniform acceleration is linear in the torque.
    const double without = acceleration_at(out, idle, 0.0);
    const double per_torque = acceleration_at(out, idle, 1.0) - without;
    const double needed = -without / per_torque;
    const auto governed = [&](double speed) {
        return std::clamp(needed + engine.idle_governor.si() * (idle - speed),
                          -motored_torque(engine, speed), full_load_torque(engine, speed));
    };
    out.line.inputs.push_back({.name = "engine torque",
                               .inertia = out.engine,
                               .source = speed_torque(engine, speeds_over(0.6 * idle, 1.4 * idle),
                                                      governed, creep.consumers.si())});
    lean_on_power_unit(out);
    return out;
}

}  // namespace damper
