// SPDX-License-Identifier: MIT
#include "libdamper/measures/disc_twist.hpp"

#include <algorithm>
#include <cstddef>

namespace damper {

void DiscTwist::tell_stages(const RunFacts& facts, double step, Measured& measured) const {
    const std::vector<TwistRange>& ranges = stages_.ranges();
    measured.stage_use = stages_.use(step);
    double beyond_first = 0.0;
    double on_last = 0.0;
    double at_stop = 0.0;
    double stop_entries = 0.0;
    double entries = 0.0;
    for (std::size_t i = 0; i < ranges.size(); ++i) {
        const StageUse& use = measured.stage_use[i];
        entries += use.entries;
        if (!ranges[i].first) beyond_first += use.share;
        if (ranges[i].stage + 1 == facts.stages.size()) on_last += use.share;
        if (ranges[i].kind != TwistRange::Kind::stage) {
            at_stop += use.share;
            stop_entries += use.entries;
        }
    }
    if (measure_kind(facts.manoeuvre) == MeasureKind::steady) {
        if (facts.stages.size() > 1) {
            add_measure(
                measured, "time_beyond_first_stage", "1", Better::less, beyond_first,
                "Share of the measured time that the disc's twist lies beyond the ends of its "
                "first stage, drive or coast side.");
            add_measure(
                measured, "time_on_last_stage", "1", Better::less, on_last,
                "Share of the measured time that the disc works on the last of its stages or lies "
                "against the stops behind it, drive or coast side.");
        }
        add_measure(measured, "stage_changes", "1/s", Better::less, entries,
                    "Corners of the disc's torque curve passed per second, stops included.");
    }
    add_measure(measured, "time_at_stop", "1", Better::less, at_stop,
                "Share of the measured time that the disc lies against its drive or coast stop.");
    const double duration = step * (samples_ - 1.0);
    add_measure(
        measured, "stop_contacts", "1", Better::less, stop_entries * duration,
        "How often the disc runs onto its drive or coast stop over the time that is measured.");
    if (measure_kind(facts.manoeuvre) == MeasureKind::sweep) {
        const RunFacts::Stage& last = facts.stages.back();
        const double share =
            std::max(twist_.high() / last.drive_end, twist_.low() / last.coast_end);
        add_measure(measured, "stop_reserve", "1", Better::more, 1.0 - share,
                    "Least distance of the disc's twist from its nearer stop over the time that is "
                    "measured, as a share of the twist at that stop; negative beyond it.");
    }
}

void DiscTwist::tell(const RunFacts& facts, double step, Measured& measured) const {
    if (twist_.count() < 2.0) return;
    if (measure_kind(facts.manoeuvre) == MeasureKind::steady) {
        add_measure(measured, "twist_mean", "rad", Better::neither, twist_.mean(),
                    "Mean twist of the disc over the time that is measured; drive side positive.");
    }
    add_measure(measured, "twist_min", "rad", Better::neither, twist_.low(),
                "Smallest twist of the disc over the time that is measured; coast side negative.");
    add_measure(measured, "twist_max", "rad", Better::neither, twist_.high(),
                "Largest twist of the disc over the time that is measured; drive side positive.");
    if (!facts.stages.empty()) tell_stages(facts, step, measured);
}

}  // namespace damper
