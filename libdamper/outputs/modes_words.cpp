// SPDX-License-Identifier: MIT
#include "libdamper/outputs/modes_words.hpp"

#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <numbers>
#include <utility>

namespace damper {

namespace {

constexpr double rpm = std::numbers::pi / 30.0;
constexpr double worth_telling = 0.08;  // share of the energy
constexpr std::size_t most_shares = 3;

std::string shares_text(std::size_t count,
                        const std::function<std::pair<std::string, double>(std::size_t)>& at) {
    std::vector<std::pair<std::string, double>> sums;
    for (std::size_t i = 0; i < count; ++i) {
        const auto [name, share] = at(i);
        const std::string whole = without_side(name);
        const auto known = std::find_if(sums.begin(), sums.end(),
                                        [&](const auto& sum) { return sum.first == whole; });
        if (known == sums.end()) {
            sums.emplace_back(whole, share);
        } else {
            known->second += share;
        }
    }
    std::stable_sort(sums.begin(), sums.end(),
                     [](const auto& x, const auto& y) { return x.second > y.second; });
    std::string text;
    for (std::size_t i = 0; i < std::min(most_shares, sums.size()); ++i) {
        if (sums[i].second < worth_telling) break;
        text +=
            fmt::format("{}{} {:.0f} %", i == 0 ? "" : ", ", sums[i].first, 100.0 * sums[i].second);
    }
    return text;
}

}  // namespace

std::string mode_title(const GearModes& gear, std::size_t mode) {
    const std::string& name = gear.modes[mode].name;
    return name.empty() ? fmt::format("mode {}", mode + 1) : name;
}

std::string gear_title(const GearModes& gear) {
    return gear.gear == "neutral" ? "Neutral" : "Gear " + gear.gear;
}

std::string point_text(const GearModes& gear) {
    const bool moves = gear.disc_stage != "stop" && gear.disc_stage != "between stages";
    std::string where = moves ? fmt::format("on its {} stage", gear.disc_stage)
                        : gear.disc_stage == "stop" ? std::string("on its stop")
                                                    : std::string("between two stages");
    if (gear.stage_asked) where += ", as asked for";
    return fmt::format("{} rpm, {} N m; disc {} ({} N m/rad)", number_text(gear.engine_speed / rpm),
                       number_text(gear.engine_torque), where, number_text(gear.disc_stiffness));
}

std::string damping_text(const ModeRow& mode) {
    if (mode.damped_frequency == 0.0) return "does not swing";
    return fmt::format("{:.1f} %", 100.0 * mode.damping_ratio);
}

std::string moving_text(const GearModes& gear, const ModeRow& mode) {
    return shares_text(gear.inertias.size(), [&](std::size_t i) {
        return std::pair{gear.inertias[i].name, mode.kinetic_share[i]};
    });
}

std::string moving_text(const SlippingModes& point, const SlippingRow& mode) {
    return shares_text(point.inertias.size(), [&](std::size_t i) {
        return std::pair{point.inertias[i], mode.kinetic_share[i]};
    });
}

std::string twisting_text(const GearModes& gear, const ModeRow& mode) {
    return shares_text(gear.elements.size(), [&](std::size_t e) {
        return std::pair{gear.elements[e].name, mode.strain_share[e]};
    });
}

std::string influence_text(const GearModes& gear, std::size_t mode, std::size_t most) {
    std::string text;
    const std::vector<ModeInfluence>& all = gear.influences[mode];
    for (std::size_t i = 0; i < std::min(most, all.size()); ++i) {
        text += fmt::format("{}{} {:+.2g} Hz", i == 0 ? "" : "; ", all[i].what, all[i].per_tenth);
    }
    return text;
}

std::string critical_text(const ModesRecord& record, const ModeRow& mode, double order) {
    if (mode.damped_frequency == 0.0) return "–";
    const double speed = critical_speed(mode.frequency, order);
    const std::string text = fmt::format("{:.0f}", speed / rpm);
    return in_range(record, speed) ? text : fmt::format("({})", text);
}

std::size_t modes_met(const ModesRecord& record, const GearModes& gear) {
    const double highest = highest_met(record);
    return static_cast<std::size_t>(
        std::count_if(gear.modes.begin(), gear.modes.end(),
                      [&](const ModeRow& mode) { return mode.frequency <= highest; }));
}

std::string rest_text(const ModesRecord& record) {
    std::string list;
    for (const GearModes& gear : record.gears) {
        const std::size_t met = modes_met(record, gear);
        if (met == gear.modes.size()) continue;
        const std::size_t rest = gear.modes.size() - met;
        const std::string from = number_text(gear.modes[met].frequency);
        const std::string what = rest == 1 ? fmt::format("1 mode at {} Hz", from)
                                           : fmt::format("{} modes from {} to {} Hz", rest, from,
                                                         number_text(gear.modes.back().frequency));
        list += fmt::format("{}{}, {}", list.empty() ? "" : "; ",
                            gear.gear == "neutral" ? gear.gear : "gear " + gear.gear, what);
    }
    if (list.empty()) return "";
    return fmt::format("Above {:.0f} Hz, where no order of the list reaches: {}.",
                       highest_met(record), list);
}

std::vector<std::string> reading_notes(const ModesRecord& record) {
    std::vector<std::string> notes = {
        "Frequencies are undamped; damping is the share of critical damping with all dampers of "
        "the driveline. A mode that does not swing is damped beyond critical.",
        record.friction == "sticks"
            ? "Friction of the disc sticks: for motions too small to move it. Larger ones find a "
              "softer disc."
            : "Friction of the disc slips and is left out: for motions large against it. Smaller "
              "ones find a stiffer disc.",
        "Contacts stand where the torque puts them; loose gears lean on their drag. When teeth "
        "part, these modes no longer hold.",
        fmt::format("Speeds in brackets lie outside {:.0f} to {:.0f} rpm.",
                    record.lowest_speed / rpm, record.highest_speed / rpm),
        "What moves it: change of the frequency when that value grows by 10 %, first order, both "
        "sides of the vehicle together.",
        "Names of modes and the energy they ask for: common practice, no source."};
    for (const GearModes& gear : record.gears) {
        for (std::size_t m = 0; m < modes_met(record, gear); ++m) {
            if (!gear.modes[m].repeated) continue;
            notes.push_back(fmt::format(
                "{}: modes at {} Hz fall together; their shapes and shares mean something only in "
                "sum.",
                gear_title(gear), number_text(gear.modes[m].frequency)));
            break;
        }
    }
    return notes;
}

}  // namespace damper
