// SPDX-License-Identifier: MIT
#include "libdamper/studies/recorder.hpp"

#include <utility>

namespace damper {

namespace {

enum Index : std::size_t {
    crank_angle,
    flywheel_speed,
    input_shaft_speed,
    flywheel_acceleration,
    input_shaft_acceleration,
    disc_twist,
    disc_torque,
    engine_torque,
    vehicle_speed,
    vehicle_acceleration,
    drive_shaft_torque,
    clutch_torque,
    clutch_slip,
    clutch_slip_angle,
    clutch_clamp
};

const std::vector<Signal> always = {
    {"crank_angle", "rad", "Crank angle, counted on from the start of the run", {}},
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

const std::vector<Signal> when_slipping = {
    {"clutch_torque", "N.m", "Torque of the clutch faces, engine on disc", {}},
    {"clutch_slip", "rad/s", "Slip of the clutch, engine less disc", {}},
    {"clutch_slip_angle", "rad", "Angle slipped by the clutch, counted on", {}},
    {"clutch_clamp", "N", "Clamp load of the clutch", {}}};

const std::vector<Signal> of_flywheel = {
    {"flywheel_twist", "rad", "Twist of the two-mass flywheel, crankshaft ahead of clutch", {}},
    {"flywheel_torque", "N.m", "Torque of the two-mass flywheel on the clutch side", {}}};

const std::vector<Signal> of_mounts = {
    {"block_roll",
     "rad",
     "Roll of engine and gearbox on their mounts, driving torque positive",
     {}},
    {"mount_torque", "N.m", "Torque of the mounts against that roll", {}}};

}  // namespace

Recorder::Recorder(const Assembled& assembled, std::size_t samples)
    : sampler_(assembled), events_(assembled.line) {
    set_.signals = always;
    if (assembled.vehicle >= 0) {
        set_.signals.insert(set_.signals.end(), when_driving.begin(), when_driving.end());
    }
    if (assembled.clutch_faces >= 0) {
        set_.signals.insert(set_.signals.end(), when_slipping.begin(), when_slipping.end());
    }
    if (assembled.flywheel >= 0) {
        set_.signals.insert(set_.signals.end(), of_flywheel.begin(), of_flywheel.end());
    }
    if (assembled.mounts >= 0) {
        set_.signals.insert(set_.signals.end(), of_mounts.begin(), of_mounts.end());
    }
    set_.time.reserve(samples);
    for (Signal& signal : set_.signals) signal.values.reserve(samples);
}

void Recorder::sample(const Instant& instant) {
    if (!sampler_.read(instant)) return;
    const Assembled& assembled = sampler_.assembled();
    const RunSample& now = sampler_.sample();
    const Stacked& stacked = *instant.stacked;
    const auto branch_torque = [&](int branch) {
        const auto b = static_cast<std::size_t>(branch);
        return stacked.torque(b, stacked.twist(b, instant.time, instant.angle),
                              stacked.rate(b, instant.speed));
    };
    set_.time.push_back(now.time);
    add(crank_angle, now.crank_angle);
    add(flywheel_speed, now.flywheel_speed);
    add(input_shaft_speed, now.input_shaft_speed);
    add(flywheel_acceleration, now.flywheel_acceleration);
    add(input_shaft_acceleration, now.input_shaft_acceleration);
    add(disc_twist, now.disc_twist);
    add(disc_torque, branch_torque(assembled.disc_to_input));
    double engine_sum = 0.0;
    for (std::size_t u = 0; u < instant.input.size(); ++u) {
        if (assembled.line.inputs[u].inertia == assembled.engine) engine_sum += instant.input[u];
    }
    add(engine_torque, engine_sum);
    std::size_t next = assembled.vehicle < 0 ? always.size() : always.size() + when_driving.size();
    if (assembled.clutch_faces >= 0) next += when_slipping.size();
    if (assembled.flywheel >= 0) {
        add(next++, now.flywheel_twist);
        add(next++, branch_torque(assembled.flywheel));
    }
    if (assembled.mounts >= 0) {
        add(next++, now.block_roll);
        add(next++, branch_torque(assembled.mounts));
    }
    if (assembled.vehicle < 0) return;
    add(vehicle_speed, assembled.rolling_radius * sampler_.total_speed(assembled.vehicle, instant));
    add(vehicle_acceleration, now.vehicle_acceleration);
    add(drive_shaft_torque, now.drive_shaft_torque);
    if (assembled.clutch_faces < 0) return;
    add(clutch_torque, now.clutch_torque);
    add(clutch_slip, now.slip_speed);
    add(clutch_slip_angle, now.slip_angle);
    add(clutch_clamp, now.clamp_load);
}

void Recorder::change(const ModeChange& change) {
    if (!sampler_.came_to_rest()) events_.change(change);
}

void Recorder::impact(const Impact& impact) {
    if (!sampler_.came_to_rest()) events_.impact(impact);
}

SignalSet Recorder::take_signals() {
    return std::move(set_);
}

}  // namespace damper
