// SPDX-License-Identifier: MIT
#include "libdamper/measures/gear_impacts.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

namespace damper {

std::vector<Impact> impacts_of(const EventTable& events, std::string_view name, double from) {
    std::vector<Impact> found;
    for (const Impact& impact : events.impacts) {
        const auto index = static_cast<std::size_t>(impact.element);
        if (impact.time >= from && impact.element >= 0 && index < events.elements.size() &&
            events.elements[index] == name) {
            found.push_back(impact);
        }
    }
    return found;
}

GearImpacts summarise_impacts(std::string element, const std::vector<Impact>& impacts,
                              double duration) {
    GearImpacts sum;
    sum.element = std::move(element);
    if (impacts.empty() || !(duration > 0.0)) return sum;
    const auto count = static_cast<double>(impacts.size());
    for (const Impact& impact : impacts) {
        if (impact.closing_speed >= slowest_impact) sum.rate += 1.0;
        sum.energy_rate += impact.energy_lost;
        sum.impulse_mean += impact.impulse;
        sum.closing_speed_rms += impact.closing_speed * impact.closing_speed;
        sum.closing_speed_max = std::max(sum.closing_speed_max, impact.closing_speed);
    }
    sum.rate /= duration;
    sum.energy_rate /= duration;
    sum.impulse_mean /= count;
    sum.closing_speed_rms = std::sqrt(sum.closing_speed_rms / count);
    return sum;
}

}  // namespace damper
