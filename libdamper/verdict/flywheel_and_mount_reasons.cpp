// SPDX-License-Identifier: MIT
#include "libdamper/verdict/reasons.hpp"
#include "libdamper/verdict/wording.hpp"

#include <fmt/format.h>

namespace damper {

namespace {

void tell_flywheel(const RunFacts& facts, const Measured& measured, std::vector<Reason>& reasons) {
    const bool passes = measure_kind(facts.manoeuvre) == MeasureKind::passage;
    const double contacts = value_of(measured, "flywheel_stop_contacts").value_or(0.0);
    const auto twist = value_of(measured, "passage_flywheel_twist");
    const auto at = value_of(measured, "passage_flywheel_twist_speed");
    const bool hangs =
        facts.manoeuvre == "engine start" && !value_of(measured, "time_to_idle").has_value();
    if (passes && twist && at) {
        reasons.push_back(
            {2.2, fmt::format("The two-mass flywheel twists most, {}, at {} of the engine{}.",
                              as_degrees(*twist), as_rpm(*at),
                              hangs ? "" : ": there it passes its resonance")});
    }
    if (contacts > 0.0) {
        std::string text =
            fmt::format("The two-mass flywheel runs onto its stops {}.", as_times(contacts));
        if (passes) {
            text +=
                " Battery, starter and the speed that it cranks with come before the flywheel; a "
                "short rattle at start and stop can be normal (common practice, no source).";
        }
        reasons.push_back({3.1, std::move(text)});
    }
    if (hangs) {
        reasons.push_back(
            {4.0,
             "The engine hangs in the resonance of the two-mass flywheel: what it gives goes "
             "into the swing of the arc springs."});
    }
}

void tell_mounts(const Measured& measured, std::vector<Reason>& reasons) {
    const double contacts = value_of(measured, "roll_stop_contacts").value_or(0.0);
    const double share = value_of(measured, "roll_time_at_stop").value_or(0.0);
    if (!(contacts > 0.0) && !(share > 0.0)) return;
    const auto most = value_of(measured, "roll_max").value_or(0.0);
    reasons.push_back(
        {2.8, fmt::format("Engine and gearbox roll by up to {}; a mount lies against its stop for "
                          "{} of the time and runs onto it {}. Mounts and torque rod are to be "
                          "looked at before the clutch.",
                          as_degrees(most), as_percent(share),
                          contacts > 0.0 ? as_times(contacts) : std::string("never anew"))});
}

}  // namespace

std::vector<Reason> flywheel_and_mount_reasons(const RunFacts& facts, const Measured& measured) {
    std::vector<Reason> reasons;
    if (!facts.flywheel_stages.empty()) tell_flywheel(facts, measured, reasons);
    if (facts.on_mounts) tell_mounts(measured, reasons);
    return reasons;
}

}  // namespace damper
