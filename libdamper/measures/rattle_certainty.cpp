// SPDX-License-Identifier: MIT
#include "libdamper/measures/rattle_certainty.hpp"

#include "libdamper/measures/gear_impacts.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace damper {

namespace {

constexpr double engine_cycle = 4.0 * std::numbers::pi;
constexpr double rounding = 1e-9;  // rad; a hair must not cost a cycle
constexpr double confidence = 0.95;

}  // namespace

RattleCertainty::RattleCertainty(const RunFacts& facts, const std::vector<std::string>& elements)
    : counts_(idles(facts) && !facts.loose_gears.empty()), measured_from_(facts.measured_from) {
    std::vector<std::string> names;
    for (const RunFacts::LooseGear& gear : facts.loose_gears) names.push_back(gear.element);
    gear_of_element_ = places_of(elements, names);
}

bool RattleCertainty::sample(double time, double crank_angle) {
    if (!counts_) return false;
    const double slack = 1e-9 * (time - last_time_);
    if (!started_) {
        if (time < measured_from_ - slack) {
            last_time_ = time;
            return false;
        }
        started_ = true;
        first_angle_ = crank_angle;
        bound_ = first_angle_ + engine_cycle;
        cycle_start_ = time;
    }
    bool whole = false;
    while (crank_angle >= bound_ - rounding) {
        const double part =
            std::min(1.0, (bound_ - last_angle_) / std::max(crank_angle - last_angle_, rounding));
        const double at = last_time_ + part * (time - last_time_);
        batches_.close(at - cycle_start_);
        cycle_start_ = at;
        bound_ = first_angle_ + static_cast<double>(batches_.cycles() + 1) * engine_cycle;
        whole = true;
    }
    last_time_ = time;
    last_angle_ = crank_angle;
    return whole;
}

void RattleCertainty::impact(const Impact& impact) {
    if (!counts_ || impact.time < measured_from_) return;
    if (gear_of_element_.at(static_cast<std::size_t>(impact.element)) < 0) return;
    const double behind = started_ ? (impact.crank_angle - first_angle_) / engine_cycle : 0.0;
    const auto cycle = static_cast<std::int64_t>(std::floor(behind));
    if (impact.closing_speed >= slowest_impact) {
        batches_.add(hits, cycle, 1.0);
        all_hits_ += 1.0;
    }
    batches_.add(energy, cycle, impact.energy_lost);
}

RattleCertainty::Known RattleCertainty::known(double share) const {
    const bool due = cycles() >= fewest_cycles && batches_.batches() % decisions == 0 &&
                     cycles() % batches_.cycles_per_batch() == 0;
    if (!counts_ || !due) return Known::not_yet;
    if (all_hits_ == 0.0) return Known::quiet;
    for (const Quantity quantity : {hits, energy}) {
        const BatchMeans::Estimate now = batches_.estimate(quantity, confidence);
        const double within = share * now.rate;
        const bool narrow = now.certain && now.half_width <= within;
        if (!narrow && now.half_range > within) return Known::not_yet;
    }
    return Known::certain;
}

double RattleCertainty::share_reached() const {
    if (all_hits_ == 0.0) return 0.0;
    double worst = 0.0;
    for (const Quantity quantity : {hits, energy}) {
        const BatchMeans::Estimate now = batches_.estimate(quantity, confidence);
        worst = std::max(worst, now.certain && now.rate > 0.0
                                    ? now.half_width / now.rate
                                    : std::numeric_limits<double>::infinity());
    }
    return worst;
}

void RattleCertainty::tell(Measured& measured, bool repeats) const {
    if (!counts_ || (!repeats && all_hits_ == 0.0)) return;
    for (MeasureValue& measure : measured.measures) {
        const bool is_rate = measure.name == "impact_rate";
        if (!is_rate && measure.name != "impact_energy_rate") continue;
        if (repeats) {
            measure.certainty = Certainty{.half_width = 0.0};
            continue;
        }
        const BatchMeans::Estimate now = batches_.estimate(is_rate ? hits : energy, confidence);
        if (!now.certain) continue;
        measure.certainty = Certainty{.half_width = now.half_width,
                                      .confidence = confidence,
                                      .batches = now.batches,
                                      .cycles_per_batch = now.cycles_per_batch};
    }
}

}  // namespace damper
