// SPDX-License-Identifier: MIT
#include "libdamper/solvers/contact_log.hpp"

#include <algorithm>
#include <cmath>

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

ContactLog::ContactLog(const Stacked& stacked, Sink* sink, int crank)
    : stacked_(&stacked), sink_(sink), crank_(crank) {
    int first = 0;
    for (const Stacked::PartPlace& place : stacked.parts()) {
        first_mode_.push_back(first);
        first += static_cast<int>(place.part->law.modes.size());
    }
    modes_of_parts_ = first;
    contacts_.resize(stacked.parts().size());
    open_.reserve(contacts_.size());
}

double ContactLog::crank_angle(double time, std::span<const double> angle) const {
    if (crank_ < 0) return 0.0;
    const auto i = static_cast<std::size_t>(crank_);
    return stacked_->line().masses[i].reference_speed * (time + stacked_->turn()) + angle[i];
}

void ContactLog::change(double time, std::span<const double> angle, std::size_t part, int from,
                        int to, double rate, double impulse, double heat) {
    const Law& law = stacked_->parts()[part].part->law;
    if (sink_ != nullptr) {
        sink_->change({.time = time,
                       .element = static_cast<int>(part),
                       .from = first_mode_[part] + from,
                       .to = first_mode_[part] + to});
    }
    if (!law.counts_impacts) return;
    Contact& contact = contacts_[part];
    if (is_free(law, from) && side_of(law, to) != 0) {
        contact.open = true;
        contact.impact = {.time = time,
                          .element = static_cast<int>(part),
                          .side = side_of(law, to),
                          .closing_speed = std::abs(rate),
                          .crank_angle = crank_angle(time, angle)};
        contact.impulse_before = impulse;
        contact.heat_before = heat;
        open_.push_back(part);
    } else if (is_free(law, to)) {
        finish(time, part, impulse, heat);
    }
}

void ContactLog::rub(double time, std::size_t face, int from, int to) {
    if (sink_ == nullptr) return;
    const int first =
        modes_of_parts_ + static_cast<int>(face) * static_cast<int>(rubbing_names().size());
    sink_->change({.time = time,
                   .element = static_cast<int>(first_mode_.size() + face),
                   .from = first + from,
                   .to = first + to});
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
    std::erase(open_, part);
    if (sink_ != nullptr) sink_->impact(contact.impact);
}

}  // namespace damper
