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
                              "{} to {} m/s2.",
                              as_percent(*over), as_number(facts.acceleration_from),
                              as_number(facts.acceleration_to))};
}

/// The lash that closes fastest, as seen at the input shaft.
std::optional<Reason> lash(const RunFacts& facts, const Measured& measured) {
    const RunFacts::LoadedLash* worst = nullptr;
    double fastest = 0.0;
    for (const RunFacts::LoadedLash& one : facts.loaded_lashes) {
        for (const GearImpacts& gear : measured.gear_impacts) {
            const double speed = gear.closing_speed_max * std::abs(one.to_input);
            if (gear.element == one.element && speed > fastest) {
                fastest = speed;
                worst = &one;
            }
        }
    }
    const double closings = value_of(measured, "lash_closings").value_or(0.0);
    if (!worst || !(closings > 0.0)) return std::nullopt;
    const double energy = value_of(measured, "clunk_energy").value_or(0.0);
    return Reason{
        2.5, fmt::format("Lash closes {:.0f} times, the hardest at \"{}\" with {} at the input "
                         "shaft: {} J meet there.",
                         closings, worst->element, as_rpm(fastest), as_number(energy))};
}

std::optional<Reason> stops(const RunFacts& facts, const Measured& measured) {
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

}  // namespace

std::vector<Reason> torque_change_reasons(const RunFacts& facts, const Measured& measured) {
    std::vector<Reason> reasons;
    for (const auto& reason : {ringing(facts, measured), overshoot(facts, measured),
                               lash(facts, measured), stops(facts, measured)}) {
        if (reason) reasons.push_back(*reason);
    }
    return reasons;
}

}  // namespace damper
