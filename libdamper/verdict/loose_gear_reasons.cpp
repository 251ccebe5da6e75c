// SPDX-License-Identifier: MIT
#include "libdamper/verdict/loose_gear_reasons.hpp"

#include "libdamper/verdict/limits.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace damper {
namespace {

/// Gears worst first.
std::vector<GearImpacts> by_threshold(const Measured& measured) {
    std::vector<GearImpacts> gears = measured.gear_impacts;
    std::stable_sort(gears.begin(), gears.end(), [](const GearImpacts& a, const GearImpacts& b) {
        return a.threshold_ratio > b.threshold_ratio;
    });
    return gears;
}

Reason lifting(const std::vector<GearImpacts>& gears) {
    const GearImpacts& worst = gears.front();
    std::string text =
        fmt::format("{} lifts off: its inertia asks {} what its drag can hold",
                    capital(gear_words(worst.element)), as_ratio(worst.threshold_ratio));
    const char* joint = "; so do ";
    for (std::size_t i = 1; i < gears.size() && gears[i].threshold_ratio > 1.0; ++i) {
        text += fmt::format("{}{} ({:.2f})", joint, gear_words(gears[i].element),
                            gears[i].threshold_ratio);
        joint = ", ";
    }
    return {2.5, text + "."};
}

/// What the input shaft does beside the firing order [rad/s2].
struct OtherOrders {
    double strongest = 0.0;  ///< The order itself.
    double amplitude = 0.0;  ///< At the strongest.
    double sum = 0.0;        ///< Of all of them: how far they can go together.
};

OtherOrders other_orders(const RunFacts& facts, const Measured& measured) {
    OtherOrders others;
    for (const OrderSpectrum& spectrum : measured.spectra) {
        if (spectrum.signal != "input_shaft_acceleration") continue;
        for (std::size_t i = 0; i < spectrum.order.size(); ++i) {
            if (std::abs(spectrum.order[i] - facts.firing_order) < 0.25) continue;
            others.sum += spectrum.amplitude[i];
            if (spectrum.amplitude[i] <= others.amplitude) continue;
            others.strongest = spectrum.order[i];
            others.amplitude = spectrum.amplitude[i];
        }
    }
    return others;
}

/// Gears that strike although the firing order alone would not lift them. Other orders are named
/// only if their amplitudes, on top of the firing order's, suffice to lift the worst gear.
Reason lifted_by_others(const RunFacts& facts, const Measured& measured, const GearImpacts& worst) {
    std::string text = fmt::format(
        "The firing order alone would lift no loose gear (the worst, {}, asks {} what "
        "its drag can hold), and still they strike",
        gear_words(worst.element), as_ratio(worst.threshold_ratio));
    const double firing = value_of(measured, "input_shaft_acceleration_order").value_or(0.0);
    const OtherOrders others = other_orders(facts, measured);
    const auto with = [&](double amplitude) {
        return firing > 0.0 ? worst.threshold_ratio * (1.0 + amplitude / firing) : 0.0;
    };
    const std::string strongest =
        fmt::format("{} ({})", order_words(others.strongest),
                    show("input_shaft_acceleration", "rad/s2", others.amplitude));
    if (with(others.amplitude) > 1.0) {
        text += fmt::format(": with order {} on top it asks up to {}", strongest,
                            as_ratio(with(others.amplitude)));
    } else if (with(others.sum) > 1.0) {
        text += fmt::format(
            ": with all other orders on top, the strongest of them {}, it asks up "
            "to {}",
            strongest, as_ratio(with(others.sum)));
    }
    return {2.2, text + "."};
}

std::optional<Reason> lift_off(const RunFacts& facts, const Measured& measured) {
    const std::vector<GearImpacts> gears = by_threshold(measured);
    if (gears.empty()) return std::nullopt;
    const GearImpacts& worst = gears.front();
    if (worst.threshold_ratio > 1.0) return lifting(gears);
    // A gear without drag has no ratio; the others must not speak for it.
    const bool all_held =
        std::all_of(facts.loose_gears.begin(), facts.loose_gears.end(),
                    [](const RunFacts::LooseGear& gear) { return gear.drag > 0.0; });
    if (!all_held || !(worst.threshold_ratio > 0.0)) return std::nullopt;
    if (value_of(measured, "impact_rate").value_or(0.0) > 0.0) {
        return lifted_by_others(facts, measured, worst);
    }
    return Reason{1.0,
                  fmt::format("The drag holds every loose gear at the firing order; the worst, "
                              "{}, asks {} what its drag can hold.",
                              gear_words(worst.element), as_ratio(worst.threshold_ratio))};
}

std::optional<Reason> impacts(const RunFacts& facts, const Measured& measured) {
    const double rate = value_of(measured, "impact_rate").value_or(0.0);
    const double energy = value_of(measured, "impact_energy_rate").value_or(0.0);
    if (!(rate > 0.0)) return std::nullopt;
    std::string text = fmt::format("The loose gears strike {} per second and lose {} in it",
                                   as_times(rate), show("impact_energy_rate", "W", energy));
    const double modulated = value_of(measured, "impact_modulation").value_or(0.0);
    if (modulated > 0.5) text += ", in time with the firing";
    text += ".";
    const std::optional<Limit> limit = find_limit("impact_rate", facts.vehicle_class);
    const auto closing = value_of(measured, "impact_closing_speed_rms");
    if (limit && rate > limit->bad && closing && *closing <= soft_closing) {
        text += fmt::format(
            " Their rate alone would be bad (above {} per second), but they are "
            "soft: they close with {} rad/s (rms), not more than {}. So their rate is something "
            "to watch.",
            as_number(limit->bad), as_number(*closing), as_number(soft_closing));
    }
    return Reason{1.5, text};
}

}  // namespace

std::vector<Reason> loose_gear_reasons(const RunFacts& facts, const Measured& measured) {
    std::vector<Reason> reasons;
    for (const auto& reason : {impacts(facts, measured), lift_off(facts, measured)}) {
        if (reason) reasons.push_back(*reason);
    }
    return reasons;
}

Reason open_clutch(const RunFacts& facts, const Measured& measured) {
    const double rate = value_of(measured, "impact_rate").value_or(0.0);
    if (rate > 0.1 * limit_good(facts, "impact_rate", 50.0)) {
        return {5.0,
                fmt::format("The clutch is open, and still the loose gears strike {} per second.",
                            as_times(rate))};
    }
    return {5.0,
            fmt::format("The clutch is open: the engine's swing does not reach the gearbox, and "
                        "the loose gears rest (impacts per second: {}). A noise that stays with "
                        "the pedal down does not come from them.",
                        as_number(rate))};
}

}  // namespace damper
