// SPDX-License-Identifier: MIT
#include "libdamper/measures/passage.hpp"

#include <cmath>

namespace damper {

namespace {

constexpr double standstill = 0.5;  // rad/s below which an engine counts as at rest

}  // namespace

void Passage::Largest::see(double value, double speed_now) {
    if (!(std::abs(value) > size)) return;
    size = std::abs(value);
    speed = std::abs(speed_now);
}

void Passage::add(const RunSample& sample) {
    acceleration_.see(sample.input_shaft_acceleration, sample.flywheel_speed);
    twist_.see(sample.disc_twist, sample.flywheel_speed);
    if (at_idle_ < 0.0 && sample.flywheel_speed >= idle_speed_) at_idle_ = sample.time;
    if (std::abs(sample.flywheel_speed) > standstill) moved_ = sample.time;
    last_ = sample.time;
}

void Passage::tell(const RunFacts& facts, Measured& measured) const {
    add_measure(measured, "passage_acceleration", "rad/s2", Better::less, acceleration_.size,
                "Largest magnitude of the input shaft's acceleration on the way between standstill "
                "and idle, impacts included.");
    add_measure(measured, "passage_acceleration_speed", "rad/s", Better::neither,
                acceleration_.speed, "Flywheel speed at which that acceleration comes.");
    add_measure(measured, "passage_twist", "rad", Better::less, twist_.size,
                "Largest magnitude of the disc's twist on the way between standstill and idle.");
    add_measure(measured, "passage_twist_speed", "rad/s", Better::neither, twist_.speed,
                "Flywheel speed at which that twist comes.");
    if (facts.manoeuvre == "engine start") {
        if (at_idle_ >= 0.0) {
            add_measure(measured, "time_to_idle", "s", Better::less, at_idle_,
                        "Time from the first turn of the starter until the flywheel has idle "
                        "speed for the first time.");
        } else {
            measured.notes.emplace_back("The engine does not reach its idle speed in the run.");
        }
        return;
    }
    if (moved_ < last_) {
        add_measure(measured, "run_down_time", "s", Better::neither, moved_ - facts.switch_time,
                    "Time from the last burning until the flywheel stands still.");
    } else {
        measured.notes.emplace_back("The engine does not come to rest in the run.");
    }
}

}  // namespace damper
