// SPDX-License-Identifier: MIT
#include "libdamper/measures/rattle.hpp"

#include "libdamper/measures/isolation.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <fmt/format.h>
#include <vector>

namespace damper {
namespace {

void add_impact_measures(const GearImpacts& all, double modulated, Measured& measured) {
    add(measured, "impact_rate", "1/s", Better::less, all.rate,
        "Tooth impacts per second, all loose gears together, over the time that is measured; "
        "touches slower than 0.05 rad/s, the last bounces of a tooth, are left out.");
    add(measured, "impact_energy_rate", "W", Better::less, all.energy_rate,
        "Energy lost in tooth impacts per second, all loose gears together, over the time that is "
        "measured.");
    add(measured, "impact_impulse_mean", "N.m.s", Better::less, all.impulse_mean,
        "Mean impulse of a tooth impact (torque integrated over the contact); 0 without impacts.");
    add(measured, "impact_closing_speed_rms", "rad/s", Better::less, all.closing_speed_rms,
        "Root mean square of the closing speeds of the tooth impacts, as twist rate of the gear "
        "pair; 0 without impacts.");
    add(measured, "impact_closing_speed_max", "rad/s", Better::less, all.closing_speed_max,
        "Largest closing speed of the tooth impacts, as twist rate of the gear pair; 0 without "
        "impacts.");
    add(measured, "impact_modulation", "1", Better::neither, modulated,
        "How closely the impact energy keeps time with the firing: length of the mean of the "
        "firing phases at the impacts, weighted by the energy lost. 1 in step, 0 spread evenly.");
}

}  // namespace

double threshold_ratio(const RunFacts::LooseGear& gear, double amplitude) {
    return gear.drag > 0.0 ? gear.inertia * std::abs(gear.ratio) * amplitude / gear.drag : 0.0;
}

double modulation(const std::vector<Impact>& impacts, double firing) {
    std::complex<double> sum = 0.0;
    double energy = 0.0;
    for (const Impact& impact : impacts) {
        sum += std::polar(impact.energy_lost, firing * impact.time);
        energy += impact.energy_lost;
    }
    return energy > 0.0 ? std::abs(sum) / energy : 0.0;
}

void measure_rattle(const RunView& run, Measured& measured) {
    const double duration = run.duration();
    if (run.facts.loose_gears.empty() || !(duration > 0.0)) return;
    const double speed = run.mean_speed();
    const double amplitude = input_acceleration_amplitude(run);
    double worst = 0.0;
    std::vector<Impact> all;
    for (const RunFacts::LooseGear& gear : run.facts.loose_gears) {
        const std::vector<Impact> own =
            impacts_of(run.events, gear.element, run.facts.measured_from);
        GearImpacts summary = summarise_impacts(gear.element, own, duration);
        summary.threshold_ratio = threshold_ratio(gear, amplitude);
        worst = std::max(worst, summary.threshold_ratio);
        measured.gear_impacts.push_back(summary);
        all.insert(all.end(), own.begin(), own.end());
        if (!(gear.drag > 0.0)) {
            measured.notes.push_back(
                fmt::format("{} has no drag: any swing lifts it off, it has no threshold ratio.",
                            gear.element));
        }
    }
    if (speed > 0.0) {
        add(measured, "threshold_ratio", "1", Better::less, worst,
            "Inertia torque of a loose gear at the input shaft's acceleration amplitude at the "
            "firing order, over the drag that holds it; the worst gear. Above 1 it lifts off.");
    }
    add_impact_measures(summarise_impacts("all loose gears", all, duration),
                        modulation(all, speed * run.facts.firing_order), measured);
}

}  // namespace damper
