// SPDX-License-Identifier: MIT
#include "libdamper/verdict/limits.hpp"
#include "libdamper/verdict/reasons.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <utility>

namespace damper {
namespace {

std::optional<Reason> ringing(const RunFacts& facts, const Measured& measured) {
    const auto frequency = value_of(measured, "shuffle_frequency");
    const auto decrement = value_of(measured, "log_decrement");
    const auto damping = value_of(measured, "damping_ratio");
    if (!frequency || !decrement || !damping) return std::nullopt;
    const std::optional<Limit> limit = find_limit("damping_ratio", facts.vehicle_class);
    const bool rings = limit && *damping < limit->good;
    const std::string lost = as_percent(1.0 - std::exp(-*decrement));
    std::string text = fmt::format(
        "{} at {} Hz and loses {} of its swing per cycle (damping ratio {})",
        rings ? "The driveline rings on: it shuffles" : "The shuffle dies quickly: it swings",
        as_number(*frequency), lost, as_number(*damping));
    if (const auto cycles = value_of(measured, "settle_cycles")) {
        text += fmt::format("; it settles after {} cycles", as_number(*cycles));
    } else if (rings) {
        text += "; it has not settled when the run ends";
    }
    return Reason{rings ? 4.0 : 1.0, text + "."};
}

std::optional<Reason> overshoot(const RunFacts& facts, const Measured& measured) {
    const auto over = value_of(measured, "overshoot");
    const std::optional<Limit> limit = find_limit("overshoot", facts.vehicle_class);
    if (!over || !limit || !(*over > limit->good)) return std::nullopt;
    return Reason{3.0,
                  fmt::format("The first swing of the acceleration goes {} beyond its step from "
                              "{} to {} m/s².",
                              as_percent(*over), as_number(facts.acceleration_from),
                              as_number(facts.acceleration_to))};
}

/// The lash whose two sides bring most kinetic energy when it closes.
std::optional<Reason> lash(const RunFacts& facts, const Measured& measured) {
    const RunFacts::LoadedLash* hardest = nullptr;
    double most = 0.0;
    double closing = 0.0;
    for (const RunFacts::LoadedLash& one : facts.loaded_lashes) {
        for (const GearImpacts& gear : measured.gear_impacts) {
            if (gear.element != one.element || gear.closing_speed_max < slowest_impact) continue;
            const double speed = gear.closing_speed_max * std::abs(one.to_input);
            const double energy = 0.5 * one.reduced_inertia * speed * speed;
            if (energy <= most) continue;
            most = energy;
            closing = speed;
            hardest = &one;
        }
    }
    const double closings = value_of(measured, "lash_closings").value_or(0.0);
    if (!hardest || !(closings > 0.0)) return std::nullopt;
    const double at_input = hardest->gap * std::abs(hardest->to_input);
    std::string play = fmt::format("; its play is {} there", as_degrees(hardest->gap));
    if (as_degrees(at_input) != as_degrees(hardest->gap)) {
        play += fmt::format(" ({} at the input shaft)", as_degrees(at_input));
    }
    return Reason{
        2.5,
        fmt::format("Lash closes {}, the hardest at \"{}\" with {} at the input "
                    "shaft{}. Its two sides bring {} J of kinetic energy to it, which "
                    "is not what is lost.",
                    as_times(closings), hardest->element, as_rpm(closing), play, as_number(most))};
}

/// Play at the wheel from which on a vehicle is more than usually worn [deg]; working values of
/// this tool, common practice, no source.
std::optional<double> much_play(std::string_view vehicle_class) {
    constexpr std::array<std::pair<std::string_view, double>, 4> table{
        {{"car", 6.0}, {"light van", 8.0}, {"medium truck", 10.0}, {"heavy truck", 12.0}}};
    for (const auto& [name, degrees] : table) {
        if (name == vehicle_class) return degrees;
    }
    return std::nullopt;
}

std::optional<Reason> worn_play(const RunFacts& facts) {
    const std::optional<double> much = much_play(facts.vehicle_class);
    if (!much || facts.play_at_wheel < *much * std::numbers::pi / 180.0) return std::nullopt;
    return Reason{3.5, fmt::format("All play of the driven path together is {} at the wheel: more "
                                   "than usual even for a worn {} (below {:.0f}°, working value of "
                                   "this tool).",
                                   as_degrees(facts.play_at_wheel), facts.vehicle_class, *much)};
}

}  // namespace

std::optional<Reason> stop_reason(const RunFacts& facts, const Measured& measured) {
    if (facts.stages.empty()) return std::nullopt;
    const RunFacts::Stage& last = facts.stages.back();
    const double high = value_of(measured, "twist_max").value_or(0.0);
    const double low = value_of(measured, "twist_min").value_or(0.0);
    constexpr double room = 0.1;  // distance kept to a stop, of the twist at the stop
    const auto sentence = [&](const char* side, double twist, double end, double torque) {
        return fmt::format(
            "The disc runs onto its {} stop: twist {}, stop at {}, where the springs "
            "carry {}; the engine's peak torque is {}.",
            side, as_degrees(twist), as_degrees(end), as_torque(torque),
            as_torque(facts.engine_peak_torque));
    };
    if (high > last.drive_end) {
        return Reason{4.5, sentence("drive", high, last.drive_end, last.torque_at_drive_end)};
    }
    if (low < last.coast_end) {
        return Reason{4.5, sentence("coast", low, last.coast_end, last.torque_at_coast_end)};
    }
    if (high > (1.0 - room) * last.drive_end || low < (1.0 - room) * last.coast_end) {
        return Reason{2.0,
                      fmt::format("The disc comes close to its stop: its twist goes from {} to "
                                  "{}, its stops lie at {} and {}.",
                                  as_degrees(low), as_degrees(high), as_degrees(last.coast_end),
                                  as_degrees(last.drive_end))};
    }
    return std::nullopt;
}

std::vector<Reason> torque_change_reasons(const RunFacts& facts, const Measured& measured) {
    std::vector<Reason> reasons;
    for (const auto& reason :
         {ringing(facts, measured), overshoot(facts, measured), lash(facts, measured),
          worn_play(facts), stop_reason(facts, measured)}) {
        if (reason) reasons.push_back(*reason);
    }
    return reasons;
}

}  // namespace damper
