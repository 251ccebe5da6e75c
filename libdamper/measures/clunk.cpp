// SPDX-License-Identifier: MIT
#include "libdamper/measures/clunk.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace damper {

Clunk::Clunk(const RunFacts& facts, const std::vector<std::string>& elements) {
    std::vector<std::string> names;
    for (const RunFacts::LooseGear& gear : facts.loose_gears) names.push_back(gear.element);
    for (const RunFacts::LoadedLash& lash : facts.loaded_lashes) names.push_back(lash.element);
    place_of_element_ = places_of(elements, names);
    lashes_.resize(names.size());
}

void Clunk::add(const Impact& impact) {
    const int place = place_of_element_.at(static_cast<std::size_t>(impact.element));
    if (place < 0) return;
    Lash& lash = lashes_[static_cast<std::size_t>(place)];
    lash.impacts.add(impact);
    // A contact that another one follows has parted.
    lash.impulse = std::max(lash.impulse, lash.last_impulse);
    lash.last_impulse = impact.impulse;
    lash.last_end = impact.time + impact.duration;
}

void Clunk::tell(const RunFacts& facts, double end, double duration, Measured& measured) const {
    if (!(duration > 0.0)) return;
    const std::size_t loose = facts.loose_gears.size();
    for (std::size_t i = 0; i < loose; ++i) {
        measured.gear_impacts.push_back(
            lashes_[i].impacts.over(duration, facts.loose_gears[i].element));
    }

    double closings = 0.0;
    double speed = 0.0;
    double impulse = 0.0;
    double lost = 0.0;
    double brought = 0.0;
    for (std::size_t i = 0; i < facts.loaded_lashes.size(); ++i) {
        const RunFacts::LoadedLash& place = facts.loaded_lashes[i];
        const Lash& lash = lashes_[loose + i];
        measured.gear_impacts.push_back(lash.impacts.over(duration, place.element));
        const double to_input = std::abs(place.to_input);
        const double at_input = lash.impacts.closing_speed_max() * to_input;
        closings += lash.impacts.hits();
        speed = std::max(speed, at_input);
        lost += lash.impacts.energy();
        brought = std::max(brought, 0.5 * place.reduced_inertia * at_input * at_input);
        // The last contact carries the load from then on: its impulse only tells how long the run
        // went on.
        const bool parted = lash.last_end < end - 1e-9;
        const double largest = parted ? std::max(lash.impulse, lash.last_impulse) : lash.impulse;
        if (to_input > 0.0) impulse = std::max(impulse, largest / to_input);
    }
    if (facts.loaded_lashes.empty()) {
        measured.notes.emplace_back("There is no lash in the driven path: nothing to clunk.");
        return;
    }
    add_measure(
        measured, "lash_closings", "1", Better::less, closings,
        "How often a lash in the driven path closes after the torque begins to change; touches "
        "slower than 0.05 rad/s, as rate of the twist where it is measured, are left out.");
    add_measure(
        measured, "clunk_closing_speed", "rad/s", Better::less, speed,
        "Largest closing speed of a lash in the driven path after the torque begins to change, "
        "referred to the gearbox input shaft.");
    add_measure(
        measured, "clunk_impulse", "N.m.s", Better::less, impulse,
        "Largest impulse of a contact that parts again, of a lash in the driven path, after the "
        "torque begins to change, referred to the gearbox input shaft; 0 if none parts again.");
    add_measure(
        measured, "clunk_energy", "J", Better::less, brought,
        "Largest kinetic energy that the two sides of a lash in the driven path bring together "
        "when it closes after the torque begins to change: half the reduced inertia of both sides, "
        "taken as rigid, times the closing speed squared.");
    add_measure(
        measured, "clunk_energy_lost", "J", Better::less, lost,
        "Energy lost in the contacts of the lashes in the driven path after the torque begins to "
        "change, all together.");
}

}  // namespace damper
