// SPDX-License-Identifier: MIT
#include "libdamper/measures/clunk.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace damper {

void measure_clunk(const RunView& run, Measured& measured) {
    const RunFacts& facts = run.facts;
    if (run.signals.time.empty()) return;
    const double from = std::max(facts.measured_from, facts.change_start);
    const double duration = run.signals.time.back() - from;
    if (!(duration > 0.0)) return;
    for (const RunFacts::LooseGear& gear : facts.loose_gears) {
        measured.gear_impacts.push_back(
            summarise_impacts(gear.element, impacts_of(run.events, gear.element, from), duration));
    }

    double closings = 0.0;
    double speed = 0.0;
    double impulse = 0.0;
    double lost = 0.0;
    double brought = 0.0;
    for (const RunFacts::LoadedLash& lash : facts.loaded_lashes) {
        const std::vector<Impact> own = impacts_of(run.events, lash.element, from);
        measured.gear_impacts.push_back(summarise_impacts(lash.element, own, duration));
        const double to_input = std::abs(lash.to_input);
        for (const Impact& impact : own) {
            const double at_input = impact.closing_speed * to_input;
            if (impact.closing_speed >= slowest_impact) closings += 1.0;
            speed = std::max(speed, at_input);
            lost += impact.energy_lost;
            brought = std::max(brought, 0.5 * lash.reduced_inertia * at_input * at_input);
            // The last contact carries the load from then on: its impulse only tells how long the
            // run went on.
            const bool parted = impact.time + impact.duration < run.signals.time.back() - 1e-9;
            if (parted && to_input > 0.0) impulse = std::max(impulse, impact.impulse / to_input);
        }
    }
    if (facts.loaded_lashes.empty()) {
        measured.notes.emplace_back("There is no lash in the driven path: nothing to clunk.");
        return;
    }
    add(measured, "lash_closings", "1", Better::less, closings,
        "How often a lash in the driven path closes after the torque begins to change; touches "
        "slower "
        "than 0.05 rad/s, as rate of the twist where it is measured, are left out.");
    add(measured, "clunk_closing_speed", "rad/s", Better::less, speed,
        "Largest closing speed of a lash in the driven path after the torque begins to change, "
        "referred to the gearbox input shaft.");
    add(measured, "clunk_impulse", "N.m.s", Better::less, impulse,
        "Largest impulse of a contact that parts again, of a lash in the driven path, after the "
        "torque begins to change, referred to the gearbox input shaft; 0 if none parts again.");
    add(measured, "clunk_energy", "J", Better::less, brought,
        "Largest kinetic energy that the two sides of a lash in the driven path bring together "
        "when it closes after the torque begins to change: half the reduced inertia of both sides, "
        "taken as rigid, times the closing speed squared.");
    add(measured, "clunk_energy_lost", "J", Better::less, lost,
        "Energy lost in the contacts of the lashes in the driven path after the torque begins to "
        "change, all together.");
}

}  // namespace damper
