// SPDX-License-Identifier: MIT
#include "libdamper/verdict/idle_disc_reasons.hpp"

#include "libdamper/verdict/limits.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace damper {
namespace {

/// Angles below this show as 0.0°.
constexpr double visible = 0.05 * std::numbers::pi / 180.0;

/// Half of what the disc's twist goes to and fro; nothing if the twist was not measured.
std::optional<double> swing_of(const Measured& measured) {
    const auto low = value_of(measured, "twist_min");
    const auto high = value_of(measured, "twist_max");
    if (!low || !high) return std::nullopt;
    return 0.5 * (*high - *low);
}

bool carries_much(const RunFacts& facts, const Measured& measured) {
    return value_of(measured, "transfer").value_or(0.0) > limit_good(facts, "transfer", 0.4);
}

/// "The drag of the cold oil at 5 °C (Light gear oil), 5.2 N m".
std::string drag_words(const RunFacts& facts) {
    constexpr double cold = 303.15;  // K; below this a workshop calls gearbox oil cold
    const std::string name =
        facts.oil_name.empty() ? std::string() : fmt::format(" ({})", facts.oil_name);
    return fmt::format("The drag of the {} at {}{}, {}",
                       facts.oil_temperature < cold ? "cold oil" : "oil",
                       as_celsius(facts.oil_temperature), name, as_torque(facts.drag_at_input));
}

/// ", is more than the 4.8 N m its idle stage can hold": drag that reaches the end of the stage.
std::string drag_against_end(const RunFacts& facts) {
    const double end = facts.stages.front().torque_at_drive_end;
    // Equal numbers on paper must not be called unequal.
    const bool same = as_torque(facts.drag_at_input) == as_torque(end);
    if (!same && facts.drag_at_input > end) {
        return fmt::format(", is more than the {} its idle stage can hold", as_torque(end));
    }
    return fmt::format(", takes up the {} its idle stage can hold", as_torque(end));
}

/// The disc leaves its idle stage: because the drag holds it beyond, because the drag leaves too
/// little room for the swing, or because of the swing alone.
std::string leaving_words(const RunFacts& facts, const Measured& measured, double swing) {
    const RunFacts::Stage& idle = facts.stages.front();
    const std::string work = work_beyond_first(facts, measured);
    const double past = facts.static_twist - idle.drive_end;

    // Preload of the next stage keeps the disc at the corner over a range of drags; a distance that
    // the last digit does not show is none.
    if (std::abs(past) <= visible) {
        const std::string then =
            swing < visible ? fmt::format("It stays there and {}.", work)
                            : fmt::format("With its swing of ±{} it {}.", as_degrees(swing), work);
        return fmt::format("{}{} and keeps the disc at the end of that stage ({}). {}",
                           drag_words(facts), drag_against_end(facts), as_degrees(idle.drive_end),
                           then);
    }
    if (past > 0.0) {
        return fmt::format("{}{} and turns the disc {} past the end of that stage ({}): it {}.",
                           drag_words(facts), drag_against_end(facts), as_degrees(past),
                           as_degrees(idle.drive_end), work);
    }
    if (facts.static_twist > 0.5 * idle.drive_end && facts.static_twist + swing > idle.drive_end) {
        return fmt::format(
            "{} of the {} its idle stage can hold, uses {} of the stage's {}; the "
            "swing of ±{} does the rest: the disc {}.",
            drag_words(facts), as_torque(idle.torque_at_drive_end), as_degrees(facts.static_twist),
            as_degrees(idle.drive_end), as_degrees(swing), work);
    }
    return fmt::format(
        "The disc swings by ±{} and leaves its idle stage ({} to {}): it {}; the "
        "drag alone would hold it at {}.",
        as_degrees(swing), as_degrees(idle.coast_end), as_degrees(idle.drive_end), work,
        as_degrees(facts.static_twist));
}

std::optional<Reason> past_idle_stage(const RunFacts& facts, const Measured& measured) {
    const double beyond = value_of(measured, "time_beyond_first_stage").value_or(0.0);
    const auto swing = swing_of(measured);
    if (!has_idle_stage(facts) || !(beyond > 0.0) || !swing) return std::nullopt;
    // A stage in the middle is meant to work; it is a cause only if it carries the swing through.
    const double last = value_of(measured, "time_on_last_stage").value_or(0.0);
    const double weight = last > 0.0 ? 4.0 + last : carries_much(facts, measured) ? 3.5 : 1.2;
    return Reason{weight, leaving_words(facts, measured, *swing)};
}

/// A washer that needs more to turn back than the springs have, or than the drag can overcome, and
/// a swing so small that the washer carries more of it than the springs.
std::optional<Reason> tight_washer(const RunFacts& facts, const Measured& measured) {
    const auto swing = swing_of(measured);
    if (!has_idle_stage(facts) || !swing || !carries_much(facts, measured)) return std::nullopt;
    const RunFacts::Stage& idle = facts.stages.front();
    const double width = 2.0 * idle.friction_limit;
    const double springs = 0.5 * idle.torque_at_drive_end;
    const double drag = std::abs(facts.drag_at_input);
    const bool sticks = idle.friction_limit > idle.stiffness * *swing;
    if (!(width > std::min(springs, drag)) || !sticks) return std::nullopt;
    const std::string against =
        width > springs ? fmt::format("the {} its springs carry at half travel", as_torque(springs))
                        : fmt::format("the drag of {} that is there to turn it", as_torque(drag));
    return Reason{3.8, fmt::format("The idle stage is tight: its friction ({} between turning out "
                                   "and back) is more than {}, so that it hardly moves (±{}).",
                                   as_torque(width), against, as_degrees(*swing))};
}

std::optional<Reason> carried_through(const RunFacts& facts, const Measured& measured) {
    if (!carries_much(facts, measured)) return std::nullopt;
    const double transfer = value_of(measured, "transfer").value_or(0.0);
    const std::optional<Limit> limit = find_limit("transfer", facts.vehicle_class);
    std::string text =
        transfer > (limit ? limit->bad : 0.8)
            ? fmt::format(
                  "The disc carries the swing through: at the firing order the input shaft "
                  "swings {} as much as the flywheel",
                  as_ratio(transfer))
            : fmt::format("The disc lets {} of the flywheel's swing through at the firing order",
                          as_percent(transfer));
    const double beyond = value_of(measured, "time_beyond_first_stage").value_or(0.0);
    if (has_idle_stage(facts) && beyond == 0.0 && !tight_washer(facts, measured)) {
        text +=
            ", although the disc stays inside its idle stage: the stage's own friction or "
            "stiffness carries it";
    }
    return Reason{3.0 + 0.1 * transfer, text + "."};
}

std::optional<Reason> no_idle_stage(const RunFacts& facts) {
    if (facts.stages.empty() || has_idle_stage(facts)) return std::nullopt;
    // Behind a two-mass flywheel a disc needs none.
    if (!facts.flywheel_stages.empty()) return std::nullopt;
    const double per_degree = facts.stages.front().stiffness * std::numbers::pi / 180.0;
    return Reason{3.2,
                  fmt::format("The disc has no idle stage: its first stage, {} N m per degree, "
                              "meets the idle swing directly.",
                              as_number(per_degree))};
}

}  // namespace

std::string work_beyond_first(const RunFacts& facts, const Measured& measured) {
    const std::vector<TwistRange> ranges = twist_ranges(facts.stages);
    std::string text;
    for (std::size_t stage = 1; stage < facts.stages.size(); ++stage) {
        double share = 0.0;
        for (std::size_t i = 0; i < std::min(ranges.size(), measured.stage_use.size()); ++i) {
            if (ranges[i].stage == stage) share += measured.stage_use[i].share;
        }
        if (!(share > 0.0)) continue;
        const std::string name = stage_words(stage_name(facts.stages, stage));
        text += text.empty()
                    ? fmt::format("works on its {} for {} of the time", name, as_percent(share))
                    : fmt::format(" and on its {} for {}", name, as_percent(share));
    }
    return text;
}

std::vector<Reason> idle_disc_reasons(const RunFacts& facts, const Measured& measured) {
    std::vector<Reason> reasons;
    for (const auto& reason : {past_idle_stage(facts, measured), tight_washer(facts, measured),
                               carried_through(facts, measured), no_idle_stage(facts)}) {
        if (reason) reasons.push_back(*reason);
    }
    return reasons;
}

}  // namespace damper
