// SPDX-License-Identifier: MIT
#include "libdamper/measures/disc_twist.hpp"

#include <algorithm>
#include <cstddef>
#include <numeric>
#include <span>

namespace damper {
namespace {

void measure_stages(const RunView& run, std::span<const double> twist, Measured& measured) {
    const std::vector<TwistRange> ranges = twist_ranges(run.facts.stages);
    measured.stage_use = stage_use(ranges, twist, run.signals.step());
    double beyond_first = 0.0;
    double on_last = 0.0;
    double at_stop = 0.0;
    double stop_entries = 0.0;
    double entries = 0.0;
    for (std::size_t i = 0; i < ranges.size(); ++i) {
        const StageUse& use = measured.stage_use[i];
        entries += use.entries;
        if (!ranges[i].first) beyond_first += use.share;
        if (ranges[i].stage + 1 == run.facts.stages.size()) on_last += use.share;
        if (ranges[i].kind != TwistRange::Kind::stage) {
            at_stop += use.share;
            stop_entries += use.entries;
        }
    }
    if (run.facts.manoeuvre == "idle") {
        if (run.facts.stages.size() > 1) {
            add(measured, "time_beyond_first_stage", "1", Better::less, beyond_first,
                "Share of the measured time that the disc's twist lies beyond the ends of its "
                "first stage, drive or coast side.");
            add(measured, "time_on_last_stage", "1", Better::less, on_last,
                "Share of the measured time that the disc works on the last of its stages or lies "
                "against the stops behind it, drive or coast side.");
        }
        add(measured, "stage_changes", "1/s", Better::less, entries,
            "Corners of the disc's torque curve passed per second, stops included.");
    }
    add(measured, "time_at_stop", "1", Better::less, at_stop,
        "Share of the measured time that the disc lies against its drive or coast stop.");
    const double duration = run.signals.step() * static_cast<double>(twist.size() - 1);
    add(measured, "stop_contacts", "1", Better::less, stop_entries * duration,
        "How often the disc runs onto its drive or coast stop over the time that is measured.");
}

}  // namespace

void measure_disc_twist(const RunView& run, Measured& measured) {
    const std::span<const double> twist = run.signals.from("disc_twist", run.facts.measured_from);
    if (twist.size() < 2) return;
    const auto [low, high] = std::minmax_element(twist.begin(), twist.end());
    if (run.facts.manoeuvre == "idle") {
        add(measured, "twist_mean", "rad", Better::neither,
            std::accumulate(twist.begin(), twist.end(), 0.0) / static_cast<double>(twist.size()),
            "Mean twist of the disc over the time that is measured; drive side positive.");
    }
    add(measured, "twist_min", "rad", Better::neither, *low,
        "Smallest twist of the disc over the time that is measured; coast side negative.");
    add(measured, "twist_max", "rad", Better::neither, *high,
        "Largest twist of the disc over the time that is measured; drive side positive.");
    if (!run.facts.stages.empty()) measure_stages(run, twist, measured);
}

}  // namespace damper
