// SPDX-License-Identifier: MIT
#include "libdamper/studies/recorder.hpp"

#include <utility>

namespace damper {

namespace {

enum Index : std::size_t {
    flywheel_speed,
    input_shaft_speed,
    flywheel_acceleration,
    input_shaft_acceleration,
    disc_twist,
    disc_torque,
    engine_torque,
    vehicle_speed,
    vehicle_acceleration,
    drive_shaft_torque
};

const std::vector<Signal> always = {
    {"flywheel_speed", "rad/s", "Flywheel speed", {}},
    {"input_shaft_speed", "rad/s", "Gearbox input shaft speed", {}},
    {"flywheel_acceleration", "rad/s2", "Flywheel angular acceleration", {}},
    {"input_shaft_acceleration", "rad/s2", "Gearbox input shaft angular acceleration", {}},
    {"disc_twist", "rad", "Twist of the disc, engine ahead of gearbox", {}},
    {"disc_torque", "N.m", "Torque of the disc on the input shaft", {}},
    {"engine_torque", "N.m", "Engine torque at the flywheel", {}}};

const std::vector<Signal> when_driving = {
    {"vehicle_speed", "m/s", "Vehicle speed", {}},
    {"vehicle_acceleration", "m/s2", "Vehicle longitudinal acceleration", {}},
    {"drive_shaft_torque", "N.m", "Torque of both half shafts", {}}};

}  // namespace

Recorder::Recorder(const Assembled& assembled, std::size_t samples)
    : assembled_(assembled), in_gear_(assembled.vehicle >= 0) {
    set_.signals = always;
    if (in_gear_) {
        set_.signals.insert(set_.signals.end(), when_driving.begin(), when_driving.end());
    }
    set_.time.reserve(samples);
    for (Signal& signal : set_.signals) signal.values.reserve(samples);
}

double Recorder::total_speed(int mass, const Instant& instant) const {
    const auto i = static_cast<std::size_t>(mass);
    return assembled_.line.masses[i].reference_speed + instant.speed[i];
}

void Recorder::watch(const char* what, int mass, const Instant& instant) {
    if (came_to_rest() || total_speed(mass, instant) > 0.0) return;
    rested_ = what;
    rested_at_ = instant.time;
}

void Recorder::sample(const Instant& instant) {
    if (came_to_rest()) return;  // what the model makes of it afterwards is no signal
    watch("engine", assembled_.engine, instant);
    if (in_gear_) watch("vehicle", assembled_.vehicle, instant);
    if (came_to_rest()) return;
    const auto engine = static_cast<std::size_t>(assembled_.engine);
    const auto input = static_cast<std::size_t>(assembled_.input_shaft);
    const Stacked& stacked = *instant.stacked;
    const auto branch_torque = [&](int branch) {
        const auto b = static_cast<std::size_t>(branch);
        return stacked.torque(b, stacked.twist(b, instant.time, instant.angle),
                              stacked.rate(b, instant.speed));
    };
    set_.time.push_back(instant.time);
    add(flywheel_speed, total_speed(assembled_.engine, instant));
    add(input_shaft_speed, total_speed(assembled_.input_shaft, instant));
    add(flywheel_acceleration, instant.acceleration[engine]);
    add(input_shaft_acceleration, instant.acceleration[input]);
    // With the clutch released the disc turns apart from the engine: its twist is that of its
    // damper alone.
    double twist = 0.0;
    for (std::size_t b = 0; b < assembled_.line.branches.size(); ++b) {
        if (assembled_.line.branches[b].kind == "disc") {
            twist += stacked.twist(b, instant.time, instant.angle);
        }
    }
    add(disc_twist, twist);
    add(disc_torque, branch_torque(assembled_.disc_to_input));
    double engine_sum = 0.0;
    for (std::size_t u = 0; u < instant.input.size(); ++u) {
        if (assembled_.line.inputs[u].inertia == assembled_.engine) engine_sum += instant.input[u];
    }
    add(engine_torque, engine_sum);
    if (!in_gear_) return;
    const auto vehicle = static_cast<std::size_t>(assembled_.vehicle);
    add(vehicle_speed, assembled_.rolling_radius * total_speed(assembled_.vehicle, instant));
    add(vehicle_acceleration, assembled_.rolling_radius * instant.acceleration[vehicle]);
    double shafts = 0.0;
    for (const int branch : assembled_.drive_shafts) shafts += branch_torque(branch);
    add(drive_shaft_torque, shafts);
}

SignalSet Recorder::take() {
    return std::move(set_);
}

}  // namespace damper
