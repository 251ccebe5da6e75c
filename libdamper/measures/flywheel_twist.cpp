// SPDX-License-Identifier: MIT
#include "libdamper/measures/flywheel_twist.hpp"

#include <cmath>

namespace damper {

void FlywheelTwist::add(const RunSample& sample) {
    if (stages_.ranges().empty()) return;
    twist_.add(sample.flywheel_twist);
    if (std::abs(sample.flywheel_twist) > largest_) {
        largest_ = std::abs(sample.flywheel_twist);
        largest_speed_ = std::abs(sample.flywheel_speed);
    }
    close(sample);
}

void FlywheelTwist::close(const RunSample& sample) {
    if (stages_.ranges().empty()) return;
    stages_.add(sample.flywheel_twist);
    samples_ += 1.0;
}

void FlywheelTwist::tell(const RunFacts& facts, double step, Measured& measured) const {
    if (facts.flywheel_stages.empty() || twist_.count() < 2.0) return;
    add_measure(measured, "flywheel_twist_min", "rad", Better::neither, twist_.low(),
                "Smallest twist of the two-mass flywheel over the time that is measured; coast "
                "side negative.");
    add_measure(measured, "flywheel_twist_max", "rad", Better::neither, twist_.high(),
                "Largest twist of the two-mass flywheel over the time that is measured; drive side "
                "positive.");
    double free = 0.0, at_stop = 0.0, contacts = 0.0;
    const bool has_free_angle = facts.flywheel_stages.front().stiffness == 0.0;
    const std::vector<StageUse> use = stages_.use(step);
    for (std::size_t i = 0; i < use.size(); ++i) {
        const TwistRange& range = stages_.ranges()[i];
        if (range.first && has_free_angle) free += use[i].share;
        if (range.kind != TwistRange::Kind::stage) {
            at_stop += use[i].share;
            contacts += use[i].entries;
        }
        measured.stage_use.push_back(
            {"two-mass flywheel, " + use[i].stage, use[i].share, use[i].entries});
    }
    if (has_free_angle) {
        add_measure(measured, "flywheel_time_free", "1", Better::neither, free,
                    "Share of the measured time that the two-mass flywheel is inside its free "
                    "angle.");
    }
    add_measure(measured, "flywheel_time_at_stop", "1", Better::less, at_stop,
                "Share of the measured time that the two-mass flywheel lies against a stop.");
    const double duration = step * (samples_ - 1.0);
    add_measure(measured, "flywheel_stop_contacts", "1", Better::less, contacts * duration,
                "How often the two-mass flywheel runs onto a stop over the time that is measured.");
    if (measure_kind(facts.manoeuvre) != MeasureKind::passage) return;
    add_measure(measured, "passage_flywheel_twist", "rad", Better::less, largest_,
                "Largest magnitude of the two-mass flywheel's twist on the way between standstill "
                "and idle.");
    add_measure(measured, "passage_flywheel_twist_speed", "rad/s", Better::neither, largest_speed_,
                "Flywheel speed at which that twist comes.");
}

}  // namespace damper
