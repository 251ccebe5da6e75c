// SPDX-License-Identifier: MIT
#include "libdamper/solvers/contact_log.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace damper {

namespace {

/// A lash law's free mode is the one it starts in.
bool is_free(const Law& law, int mode) {
    return mode == law.start;
}

int side_of(const Law& law, int mode) {
    switch (law.modes[static_cast<std::size_t>(mode)].touch) {
        case Touch::drive:
            return 1;
        case Touch::coast:
            return -1;
        case Touch::none:
            break;
    }
    return 0;
}

}  // namespace

ContactLog::ContactLog(const Stacked& stacked) : stacked_(&stacked) {
    for (const Stacked::PartPlace& place : stacked.parts()) {
        table_.elements.push_back(place.part->name);
        first_mode_.push_back(static_cast<int>(table_.modes.size()));
        for (const Mode& mode : place.part->law.modes) table_.modes.push_back(mode.label);
    }
    contacts_.resize(stacked.parts().size());
}

int ContactLog::mode_index(std::size_t part, int mode) const {
    return first_mode_[part] + mode;
}

void ContactLog::change(double time, std::size_t part, int from, int to, double rate,
                        double impulse, double heat) {
    const Law& law = stacked_->parts()[part].part->law;
    table_.changes.push_back({.time = time,
                              .element = static_cast<int>(part),
                              .from = mode_index(part, from),
                              .to = mode_index(part, to)});
    if (!law.counts_impacts) return;
    Contact& contact = contacts_[part];
    if (is_free(law, from) && side_of(law, to) != 0) {
        contact.open = true;
        contact.impact = {.time = time,
                          .element = static_cast<int>(part),
                          .side = side_of(law, to),
                          .closing_speed = std::abs(rate)};
        contact.impulse_before = impulse;
        contact.heat_before = heat;
        open_.push_back(part);
    } else if (is_free(law, to)) {
        finish(time, part, impulse, heat);
    }
}

void ContactLog::torque(std::size_t part, double torque) {
    Impact& impact = contacts_[part].impact;
    impact.peak_torque = std::max(impact.peak_torque, std::abs(torque));
}

void ContactLog::finish(double time, std::size_t part, double impulse, double heat) {
    Contact& contact = contacts_[part];
    if (!contact.open) return;
    contact.open = false;
    contact.impact.duration = time - contact.impact.time;
    contact.impact.impulse = impulse - contact.impulse_before;
    contact.impact.energy_lost = heat - contact.heat_before;
    table_.impacts.push_back(contact.impact);
    std::erase(open_, part);
}

EventTable ContactLog::take() {
    std::stable_sort(table_.impacts.begin(), table_.impacts.end(),
                     [](const Impact& a, const Impact& b) { return a.time < b.time; });
    return std::move(table_);
}

}  // namespace damper
