// SPDX-License-Identifier: MIT
#include "libdamper/assemble/assemble.hpp"
#include "libdamper/assemble/neutral.hpp"
#include "libdamper/scenario/recorded_speed.hpp"

#include <algorithm>
#include <numeric>

namespace damper {

namespace {

constexpr double heavier = 1e6;  // than all that turns behind it
constexpr double fade = 0.2;     // s in which the run goes over from even speed to the recording

/// A run begins in even motion; over the first tenths of a second the recording takes its place.
void fade_in(Resampled& motion) {
    const auto count =
        std::min(motion.value.size(), static_cast<std::size_t>(fade / motion.step) + 1);
    const double even =
        std::accumulate(motion.value.begin(),
                        motion.value.begin() + static_cast<std::ptrdiff_t>(count), 0.0) /
        static_cast<double>(count);
    for (std::size_t i = 0; i < count; ++i) {
        const double x = static_cast<double>(i) / static_cast<double>(count);
        const double share = x * x * (3.0 - 2.0 * x);
        const double share_slope = 6.0 * x * (1.0 - x) / (static_cast<double>(count) * motion.step);
        const double apart = motion.value[i] - even;
        motion.slope[i] = share * motion.slope[i] + share_slope * apart;
        motion.value[i] = even + share * apart;
    }
}

/// Of all that turns, referred to the engine [kg m²].
double inertia_at_engine(const Assembled& assembled) {
    const std::vector<RotatingMass>& masses = assembled.line.masses;
    const double own = masses[static_cast<std::size_t>(assembled.engine)].reference_speed;
    double sum = 0.0;
    for (const RotatingMass& mass : masses) {
        const double ratio = mass.reference_speed / own;
        sum += mass.inertia * ratio * ratio;
    }
    return sum;
}

}  // namespace

Assembled assemble_recorded(const Vehicle& vehicle, const RecordedSpeed& recorded,
                            const Conditions& conditions) {
    Resampled motion = motion_of(recorded, vehicle.engine);
    fade_in(motion);
    const double speed = motion.value.front();
    // What of the engine's torque leans on the power unit the recording does not tell.
    Vehicle held = vehicle;
    held.mounts.reset();
    Assembled out =
        recorded.gear.empty()
            ? assemble_standing(held, {.speed = speed,
                                       .input_speed = speed,
                                       .closed = true,
                                       .oil = conditions.gearbox_oil.si()})
            : assemble_driven(held, {.gear = recorded.gear, .speed = speed, .slip_speed = speed},
                              conditions);
    RotatingMass& flywheel = out.line.masses[static_cast<std::size_t>(out.engine)];
    flywheel.inertia = heavier * inertia_at_engine(out);
    RecordedTorque drive{.start = 0.0, .step = motion.step, .values = std::move(motion.slope)};
    for (double& value : drive.values) value *= flywheel.inertia;
    out.line.inputs.push_back(
        {.name = "engine torque", .inertia = out.engine, .source = std::move(drive)});
    return out;
}

}  // namespace damper
