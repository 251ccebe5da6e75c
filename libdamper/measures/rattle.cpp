// SPDX-License-Identifier: MIT
#include "libdamper/measures/rattle.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <fmt/format.h>
#include <utility>

namespace damper {
namespace {

void add_impact_measures(const GearImpacts& all, double modulated, Measured& measured) {
    add_measure(
        measured, "impact_rate", "1/s", Better::less, all.rate,
        "Tooth impacts per second, all loose gears together, over the time that is measured; "
        "touches slower than 0.05 rad/s, the last bounces of a tooth, are left out.");
    add_measure(
        measured, "impact_energy_rate", "W", Better::less, all.energy_rate,
        "Energy lost in tooth impacts per second, all loose gears together, over the time that is "
        "measured.");
    add_measure(
        measured, "impact_impulse_mean", "N.m.s", Better::less, all.impulse_mean,
        "Mean impulse of a tooth impact (torque integrated over the contact); 0 without impacts.");
    add_measure(
        measured, "impact_closing_speed_rms", "rad/s", Better::less, all.closing_speed_rms,
        "Root mean square of the closing speeds of the tooth impacts, as twist rate of the gear "
        "pair; 0 without impacts.");
    add_measure(
        measured, "impact_closing_speed_max", "rad/s", Better::less, all.closing_speed_max,
        "Largest closing speed of the tooth impacts, as twist rate of the gear pair; 0 without "
        "impacts.");
    add_measure(
        measured, "impact_modulation", "1", Better::neither, modulated,
        "How closely the impact energy keeps time with the firing: length of the mean of the "
        "firing phases (firing order times crank angle) at the impacts, weighted by the energy "
        "lost. 1 in step, 0 spread evenly.");
}

}  // namespace

double threshold_ratio(const RunFacts::LooseGear& gear, double amplitude) {
    return gear.drag > 0.0 ? gear.inertia * std::abs(gear.ratio) * amplitude / gear.drag : 0.0;
}

Rattle::Rattle(const RunFacts& facts, const std::vector<std::string>& elements)
    : gears_(facts.loose_gears.size()), firing_order_(facts.firing_order) {
    std::vector<std::string> names;
    for (const RunFacts::LooseGear& gear : facts.loose_gears) names.push_back(gear.element);
    gear_of_element_ = places_of(elements, names);
}

void Rattle::add(const Impact& impact) {
    const int place = gear_of_element_.at(static_cast<std::size_t>(impact.element));
    if (place < 0) return;
    Gear& gear = gears_[static_cast<std::size_t>(place)];
    gear.impacts.add(impact);
    gear.phase += std::polar(impact.energy_lost, firing_order_ * impact.crank_angle);
}

void Rattle::tell(const RunFacts& facts, const EngineOrders& orders, double duration,
                  Measured& measured) const {
    if (gears_.empty() || !(duration > 0.0)) return;
    const double amplitude = orders.input_shaft_acceleration();
    double worst = 0.0;
    ImpactSums all;
    std::complex<double> phase = 0.0;
    for (std::size_t i = 0; i < gears_.size(); ++i) {
        const RunFacts::LooseGear& gear = facts.loose_gears[i];
        GearImpacts summary = gears_[i].impacts.over(duration, gear.element);
        summary.threshold_ratio = threshold_ratio(gear, amplitude);
        worst = std::max(worst, summary.threshold_ratio);
        measured.gear_impacts.push_back(std::move(summary));
        all.add(gears_[i].impacts);
        phase += gears_[i].phase;
        if (!(gear.drag > 0.0)) {
            measured.notes.push_back(
                fmt::format("{} has no drag: any swing lifts it off, it has no threshold ratio.",
                            gear.element));
        }
    }
    if (orders.any()) {
        add_measure(
            measured, "threshold_ratio", "1", Better::less, worst,
            "Inertia torque of a loose gear at the input shaft's acceleration amplitude at the "
            "firing order, over the drag that holds it; the worst gear. Above 1 it lifts off.");
    }
    add_impact_measures(all.over(duration, "all loose gears"),
                        all.energy() > 0.0 ? std::abs(phase) / all.energy() : 0.0, measured);
}

}  // namespace damper
