// SPDX-License-Identifier: MIT
#include "libdamper/verdict/limits.hpp"
#include "libdamper/verdict/loose_gear_reasons.hpp"
#include "libdamper/verdict/reasons.hpp"
#include "libdamper/verdict/wording.hpp"

#include <fmt/format.h>

namespace damper {
namespace {

/// The swing that the gearbox gets, where it is largest and what the disc does of it.
std::optional<Reason> swing(const RunFacts& facts, const Measured& measured) {
    const auto largest = value_of(measured, "input_shaft_acceleration_largest");
    const auto at = value_of(measured, "input_shaft_acceleration_largest_speed");
    const auto transfer = value_of(measured, "transfer_largest");
    const auto resonance = value_of(measured, "transfer_largest_speed");
    if (!largest || !at || !transfer || !resonance) return std::nullopt;
    std::string text =
        fmt::format("The input shaft swings most at {}, with {} at the firing order", as_rpm(*at),
                    show("input_shaft_acceleration", "rad/s2", *largest));
    constexpr double raises = 1.0;
    if (*transfer <= raises) {
        return Reason{1.0, text + fmt::format(". The disc isolates over the whole range: at most "
                                              "{} of the flywheel's swing gets through, at {}.",
                                              as_percent(*transfer), as_rpm(*resonance))};
    }
    const auto from = value_of(measured, "isolation_speed");
    constexpr double clear = 1.5;  // from here on it is more than a disc whose friction sticks
    text += fmt::format(". Behind the disc the swing is up to {} that of the flywheel, at {}: {}",
                        as_ratio(*transfer), as_rpm(*resonance),
                        *transfer > clear ? "there the driveline resonates on its springs"
                                          : "there the driveline resonates, or the disc's friction "
                                            "holds and makes it stiff");
    text += from ? fmt::format("; from {} on it isolates.", as_rpm(*from))
                 : "; it isolates nowhere up to the end of the range.";
    const double good = limit_good(facts, "input_shaft_acceleration_largest", 0.0);
    return Reason{*largest > good ? 4.0 : 1.5, text};
}

std::optional<Reason> teeth(const Measured& measured) {
    const auto ratio = value_of(measured, "threshold_ratio_largest");
    const double rate = value_of(measured, "impact_rate").value_or(0.0);
    if (!ratio || !(*ratio > 0.0)) return std::nullopt;
    if (*ratio <= 1.0 && !(rate > 0.0)) {
        return Reason{1.0, fmt::format("The drag holds every loose gear; the worst asks {} what it "
                                       "can hold.",
                                       as_ratio(*ratio))};
    }
    return Reason{2.5, fmt::format("Loose gears can lift off: the worst asks {} what its drag can "
                                   "hold. They strike {} per second over the run.",
                                   as_ratio(*ratio), as_times(rate))};
}

std::optional<Reason> reversals(const Measured& measured) {
    const double rate = value_of(measured, "torque_reversals").value_or(0.0);
    if (!(rate > 0.0)) return std::nullopt;
    return Reason{3.0, fmt::format("The torque in the drive shafts turns round {} per second: the "
                                   "loaded teeth go from one face to the other each time.",
                                   as_times(rate))};
}

std::optional<Reason> hump(const RunFacts& facts, const Measured& measured) {
    const auto ratio = value_of(measured, "drive_shaft_torque_hump");
    const auto at = value_of(measured, "drive_shaft_torque_largest_speed");
    const std::optional<Limit> limit = find_limit("drive_shaft_torque_hump", facts.vehicle_class);
    if (!ratio || !at || !limit || *ratio <= limit->good) return std::nullopt;
    return Reason{2.0, fmt::format("The torque swing in the drive shafts stands out at one speed: "
                                   "{} its neighbours. Where the body answers there it booms; the "
                                   "largest swing is at {}.",
                                   as_ratio(*ratio), as_rpm(*at))};
}

/// Where the torque that drives lies on the stages of the disc.
std::optional<Reason> working_stage(const RunFacts& facts, const Measured& measured) {
    if (measured.stage_use.empty() || facts.stages.empty()) return std::nullopt;
    const double changes = value_of(measured, "stage_changes").value_or(0.0);
    const StageUse* most = &measured.stage_use.front();
    // What comes after the disc's ranges belongs to a two-mass flywheel.
    const std::size_t count =
        std::min(measured.stage_use.size(), twist_ranges(facts.stages).size());
    for (std::size_t i = 0; i < count; ++i) {
        if (measured.stage_use[i].share > most->share) most = &measured.stage_use[i];
    }
    const std::string where = fmt::format(
        "Creeping asks {} of the disc; it works on its {} for {} of the time",
        as_torque(facts.drag_at_input), stage_words(most->stage), as_percent(most->share));
    if (!(changes > 0.0)) return Reason{1.0, where + " and keeps to it."};
    return Reason{3.5, fmt::format("{} and passes a corner of its curve {} per second: the driving "
                                   "torque lies at the corner. A middle stage or another end of "
                                   "the first one moves the corner away from it.",
                                   where, as_times(changes))};
}

}  // namespace

std::vector<Reason> creep_reasons(const RunFacts& facts, const Measured& measured) {
    std::vector<Reason> reasons = loose_gear_reasons(facts, measured);
    for (const auto& reason :
         {stop_reason(facts, measured), working_stage(facts, measured), reversals(measured)}) {
        if (reason) reasons.push_back(*reason);
    }
    return reasons;
}

std::vector<Reason> sweep_reasons(const RunFacts& facts, const Measured& measured) {
    std::vector<Reason> reasons;
    for (const auto& reason : {stop_reason(facts, measured), swing(facts, measured),
                               teeth(measured), reversals(measured), hump(facts, measured)}) {
        if (reason) reasons.push_back(*reason);
    }
    return reasons;
}

std::vector<Reason> passage_reasons(const RunFacts& facts, const Measured& measured) {
    std::vector<Reason> reasons;
    if (const auto reason = stop_reason(facts, measured)) reasons.push_back(*reason);
    const auto twist = value_of(measured, "passage_twist");
    const auto at = value_of(measured, "passage_twist_speed");
    if (twist && at) {
        reasons.push_back(
            {2.0, fmt::format("On the way between standstill and idle the disc twists most, {}, at "
                              "{} of the engine.",
                              as_degrees(*twist), as_rpm(*at))});
    }
    const double contacts = value_of(measured, "stop_contacts").value_or(0.0);
    if (contacts > 0.0) {
        reasons.push_back({3.0, fmt::format("It strikes its stops {}. A short rattle while an "
                                            "engine stops can be normal (common practice, no "
                                            "source).",
                                            as_times(contacts))});
    }
    const double rate = value_of(measured, "impact_rate").value_or(0.0);
    if (rate > 0.0) {
        reasons.push_back(
            {1.5, fmt::format("The loose gears strike {} per second on the way.", as_times(rate))});
    }
    return reasons;
}

}  // namespace damper
