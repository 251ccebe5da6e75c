// SPDX-License-Identifier: MIT
#include "libdamper/studies/run_sampler.hpp"

namespace damper {

RunSampler::RunSampler(const Assembled& assembled) : assembled_(assembled) {
    // With the clutch released the disc turns apart from the engine: its twist is that of its
    // damper alone.
    for (std::size_t b = 0; b < assembled.line.branches.size(); ++b) {
        if (assembled.line.branches[b].kind == "disc") disc_.push_back(b);
    }
    if (assembled.end_speed > 0.0) {
        const auto i = static_cast<std::size_t>(assembled.vehicle);
        const bool rises = assembled.end_speed > assembled.line.masses[i].reference_speed;
        end_side_ = rises ? 1.0 : -1.0;
    }
}

double RunSampler::total_speed(int mass, const Instant& instant) const {
    const auto i = static_cast<std::size_t>(mass);
    return assembled_.line.masses[i].reference_speed + instant.speed[i];
}

void RunSampler::watch(const char* what, int mass, const Instant& instant) {
    if (came_to_rest() || total_speed(mass, instant) > 0.0) return;
    rested_ = what;
    rested_at_ = instant.time;
}

bool RunSampler::read(const Instant& instant) {
    if (came_to_rest()) return false;
    const bool in_gear = assembled_.vehicle >= 0;
    if (!assembled_.may_rest) watch("engine", assembled_.engine, instant);
    if (in_gear && !assembled_.vehicle_may_rest) watch("vehicle", assembled_.vehicle, instant);
    if (came_to_rest()) return false;
    const auto engine = static_cast<std::size_t>(assembled_.engine);
    const auto input = static_cast<std::size_t>(assembled_.input_shaft);
    const Stacked& stacked = *instant.stacked;
    sample_.time = instant.time;
    sample_.crank_angle =
        assembled_.line.masses[engine].reference_speed * (instant.time + stacked.turn()) +
        instant.angle[engine];
    sample_.flywheel_speed = total_speed(assembled_.engine, instant);
    sample_.input_shaft_speed = total_speed(assembled_.input_shaft, instant);
    sample_.flywheel_acceleration = instant.acceleration[engine];
    sample_.input_shaft_acceleration = instant.acceleration[input];
    double twist = 0.0;
    for (const std::size_t b : disc_) twist += stacked.twist(b, instant.time, instant.angle);
    sample_.disc_twist = twist;
    if (assembled_.clutch_faces >= 0) read_clutch(instant);
    const auto twist_of = [&](int branch) {
        return stacked.twist(static_cast<std::size_t>(branch), instant.time, instant.angle);
    };
    if (assembled_.flywheel >= 0) sample_.flywheel_twist = twist_of(assembled_.flywheel);
    if (assembled_.mounts >= 0) sample_.block_roll = twist_of(assembled_.mounts);
    if (in_gear) {
        const double past = total_speed(assembled_.vehicle, instant) - assembled_.end_speed;
        arrived_ = arrived_ || end_side_ * past > 0.0;
        double shafts = 0.0;
        for (const int branch : assembled_.drive_shafts) {
            const auto b = static_cast<std::size_t>(branch);
            shafts += stacked.torque(b, stacked.twist(b, instant.time, instant.angle),
                                     stacked.rate(b, instant.speed));
        }
        sample_.drive_shaft_torque = shafts;
        sample_.vehicle_acceleration =
            assembled_.rolling_radius *
            instant.acceleration[static_cast<std::size_t>(assembled_.vehicle)];
    }
    return true;
}

void RunSampler::read_clutch(const Instant& instant) {
    const Driveline& line = assembled_.line;
    const auto f = static_cast<std::size_t>(assembled_.clutch_faces);
    const FaceBranch& faces = line.faces[f];
    const double since = instant.time + instant.stacked->turn();
    double angle = 0.0;
    for (const RowEntry& entry : faces.row) {
        const auto i = static_cast<std::size_t>(entry.inertia);
        angle += entry.factor * (line.masses[i].reference_speed * since + instant.angle[i]);
    }
    sample_.slip_angle = angle;
    sample_.slip_speed = rate_of(line, faces.row, instant.speed.data());
    sample_.clutch_torque = instant.face_torque[f];
    sample_.clamp_load =
        faces.law.load(instant.time) * modulation_of(line, faces, since, instant.angle.data());
    sample_.vehicle_speed = assembled_.rolling_radius * total_speed(assembled_.vehicle, instant);
}

}  // namespace damper
