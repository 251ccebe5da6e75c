// SPDX-License-Identifier: MIT
#include "libdamper/measures/gear_impacts.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace damper {

void ImpactSums::add(const Impact& impact) {
    count_ += 1.0;
    if (impact.closing_speed >= slowest_impact) hits_ += 1.0;
    energy_ += impact.energy_lost;
    impulse_ += impact.impulse;
    closing_squares_ += impact.closing_speed * impact.closing_speed;
    closing_speed_max_ = std::max(closing_speed_max_, impact.closing_speed);
}

void ImpactSums::add(const ImpactSums& other) {
    count_ += other.count_;
    hits_ += other.hits_;
    energy_ += other.energy_;
    impulse_ += other.impulse_;
    closing_squares_ += other.closing_squares_;
    closing_speed_max_ = std::max(closing_speed_max_, other.closing_speed_max_);
}

GearImpacts ImpactSums::over(double duration, std::string element) const {
    GearImpacts out;
    out.element = std::move(element);
    if (!(count_ > 0.0) || !(duration > 0.0)) return out;
    out.rate = hits_ / duration;
    out.energy_rate = energy_ / duration;
    out.impulse_mean = impulse_ / count_;
    out.closing_speed_rms = std::sqrt(closing_squares_ / count_);
    out.closing_speed_max = closing_speed_max_;
    return out;
}

std::vector<int> places_of(const std::vector<std::string>& elements,
                           const std::vector<std::string>& wanted) {
    std::vector<int> places;
    places.reserve(elements.size());
    for (const std::string& element : elements) {
        const auto found = std::find(wanted.begin(), wanted.end(), element);
        places.push_back(found == wanted.end() ? -1 : static_cast<int>(found - wanted.begin()));
    }
    return places;
}

}  // namespace damper
