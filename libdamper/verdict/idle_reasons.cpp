// SPDX-License-Identifier: MIT
#include "libdamper/verdict/limits.hpp"
#include "libdamper/verdict/reasons.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace damper {
namespace {

double limit_good(const RunFacts& facts, std::string_view measure, double otherwise) {
    const std::optional<Limit> limit = find_limit(measure, facts.vehicle_class);
    return limit ? limit->good : otherwise;
}

std::string oil_words(const RunFacts& facts) {
    constexpr double cold = 303.15;  // K; below this a workshop calls gearbox oil cold
    return fmt::format("{} at {}", facts.oil_temperature < cold ? "cold oil" : "oil",
                       as_celsius(facts.oil_temperature));
}

/// The disc leaves its idle stage: because the drag holds it beyond, because the drag leaves too
/// little room for the swing, or because of the swing alone.
std::optional<Reason> past_idle_stage(const RunFacts& facts, const Measured& measured) {
    const double beyond = value_of(measured, "time_beyond_first_stage").value_or(0.0);
    const auto low = value_of(measured, "twist_min");
    const auto high = value_of(measured, "twist_max");
    if (!has_idle_stage(facts) || !(beyond > 0.0) || !low || !high) return std::nullopt;
    const RunFacts::Stage& idle = facts.stages.front();
    const double swing = 0.5 * (*high - *low);
    const std::string drag = as_torque(facts.drag_at_input);

    // Preload of the next stage keeps the disc at the corner over a range of drags; a distance that
    // the last digit does not show is none.
    constexpr double visible = 0.05 * std::numbers::pi / 180.0;
    if (std::abs(facts.static_twist - idle.drive_end) <= visible) {
        return Reason{4.0 + beyond,
                      fmt::format("The drag of the {}, {}, holds the disc at the end of its idle "
                                  "stage ({}): its swing of ±{} works on the firm stage for {} of "
                                  "the time.",
                                  oil_words(facts), drag, as_degrees(idle.drive_end),
                                  as_degrees(swing), as_percent(beyond))};
    }
    if (facts.static_twist > idle.drive_end) {
        return Reason{
            4.0 + beyond,
            fmt::format("The drag of the {}, {}, turns the disc {} past its idle stage "
                        "(end at {}): it works on the firm stage for {} of the time.",
                        oil_words(facts), drag, as_degrees(facts.static_twist - idle.drive_end),
                        as_degrees(idle.drive_end), as_percent(beyond))};
    }
    if (facts.static_twist > 0.5 * idle.drive_end && facts.static_twist + swing > idle.drive_end) {
        return Reason{
            4.0 + beyond,
            fmt::format("The drag of the {}, {}, uses {} of the idle stage's {}; the "
                        "swing of ±{} does the rest and takes the disc past the stage "
                        "for {} of the time.",
                        oil_words(facts), drag, as_degrees(facts.static_twist),
                        as_degrees(idle.drive_end), as_degrees(swing), as_percent(beyond))};
    }
    return Reason{3.5 + beyond,
                  fmt::format("The disc swings from {} to {} and leaves its idle stage ({} to {}) "
                              "for {} of the time; the drag alone would hold it at {}.",
                              as_degrees(*low), as_degrees(*high), as_degrees(idle.coast_end),
                              as_degrees(idle.drive_end), as_percent(beyond),
                              as_degrees(facts.static_twist))};
}

std::optional<Reason> uneven_engine(const RunFacts& facts, const Measured& measured) {
    constexpr double half_degree = 0.5 * std::numbers::pi / 180.0;
    const double angle = value_of(measured, "half_order_angle").value_or(0.0);
    if (!(angle > limit_good(facts, "half_order_angle", half_degree))) return std::nullopt;
    return Reason{5.0, fmt::format("The engine runs unevenly: order ½ swings the flywheel by ±{}; "
                                   "no disc option cures that.",
                                   as_degrees(angle))};
}

std::optional<Reason> carried_through(const RunFacts& facts, const Measured& measured) {
    const double transfer = value_of(measured, "transfer").value_or(0.0);
    if (!(transfer > limit_good(facts, "transfer", 0.4))) return std::nullopt;
    std::string text = fmt::format(
        "The disc carries the swing through: at the firing order the input shaft swings {} times "
        "as much as the flywheel",
        as_number(transfer));
    const double beyond = value_of(measured, "time_beyond_first_stage").value_or(0.0);
    if (has_idle_stage(facts) && beyond == 0.0) {
        text +=
            ", although the disc stays inside its idle stage: the stage's own friction or "
            "stiffness carries it";
    }
    return Reason{3.0 + 0.1 * transfer, text + "."};
}

std::optional<Reason> lift_off(const RunFacts& facts, const Measured& measured) {
    std::vector<GearImpacts> gears = measured.gear_impacts;
    std::stable_sort(gears.begin(), gears.end(), [](const GearImpacts& a, const GearImpacts& b) {
        return a.threshold_ratio > b.threshold_ratio;
    });
    if (gears.empty()) return std::nullopt;
    const GearImpacts& worst = gears.front();
    if (worst.threshold_ratio > 1.0) {
        std::string text =
            fmt::format("{} lifts off: its inertia asks {} times what its drag can hold",
                        capital(gear_words(worst.element)), as_number(worst.threshold_ratio));
        const char* joint = "; so do ";
        for (std::size_t i = 1; i < gears.size() && gears[i].threshold_ratio > 1.0; ++i) {
            text += fmt::format("{}{} ({})", joint, gear_words(gears[i].element),
                                as_number(gears[i].threshold_ratio));
            joint = ", ";
        }
        return Reason{2.5, text + "."};
    }
    // A gear without drag has no ratio; the others must not speak for it.
    const bool all_held =
        std::all_of(facts.loose_gears.begin(), facts.loose_gears.end(),
                    [](const RunFacts::LooseGear& gear) { return gear.drag > 0.0; });
    if (!all_held || !(worst.threshold_ratio > 0.0)) return std::nullopt;
    return Reason{1.0,
                  fmt::format("The drag holds every loose gear at the firing order; the worst, "
                              "{}, asks {} times what its drag can hold.",
                              gear_words(worst.element), as_number(worst.threshold_ratio))};
}

std::optional<Reason> no_idle_stage(const RunFacts& facts) {
    if (facts.stages.empty() || has_idle_stage(facts)) return std::nullopt;
    const double per_degree = facts.stages.front().stiffness * std::numbers::pi / 180.0;
    return Reason{3.2,
                  fmt::format("The disc has no idle stage: its first stage, {} N m per degree, "
                              "meets the idle swing directly.",
                              as_number(per_degree))};
}

Reason open_clutch(const RunFacts& facts, const Measured& measured) {
    const double rate = value_of(measured, "impact_rate").value_or(0.0);
    if (rate > 0.1 * limit_good(facts, "impact_rate", 50.0)) {
        return {5.0,
                fmt::format("The clutch is open, and still the loose gears strike {} times per "
                            "second.",
                            as_number(rate))};
    }
    return {5.0,
            fmt::format("The clutch is open: the engine's swing does not reach the gearbox, and "
                        "the loose gears rest (impacts per second: {}). A noise that stays with "
                        "the pedal down does not come from them.",
                        as_number(rate))};
}

std::optional<Reason> impacts(const Measured& measured) {
    const double rate = value_of(measured, "impact_rate").value_or(0.0);
    const double energy = value_of(measured, "impact_energy_rate").value_or(0.0);
    if (!(rate > 0.0)) return std::nullopt;
    std::string text = fmt::format("The loose gears strike {} times per second and lose {} in it",
                                   as_number(rate), show("impact_energy_rate", "W", energy));
    const double modulated = value_of(measured, "impact_modulation").value_or(0.0);
    if (modulated > 0.5) text += ", in time with the firing";
    return Reason{1.5, text + "."};
}

}  // namespace

std::optional<double> value_of(const Measured& measured, std::string_view name) {
    for (const MeasureValue& one : measured.measures) {
        if (one.name == name) return one.value;
    }
    return std::nullopt;
}

std::vector<Reason> idle_reasons(const RunFacts& facts, const Measured& measured) {
    std::vector<Reason> reasons;
    const auto take = [&](const std::optional<Reason>& reason) {
        if (reason) reasons.push_back(*reason);
    };
    take(uneven_engine(facts, measured));
    if (!facts.clutch_closed) {
        reasons.push_back(open_clutch(facts, measured));
        return reasons;
    }
    take(past_idle_stage(facts, measured));
    take(carried_through(facts, measured));
    take(no_idle_stage(facts));
    take(impacts(measured));
    take(lift_off(facts, measured));
    return reasons;
}

}  // namespace damper
