// SPDX-License-Identifier: MIT
#include "libdamper/scenario/check.hpp"

#include "libdamper/base/nearest_word.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <fmt/format.h>
#include <string>

namespace damper {

namespace {

constexpr double most_samples = 1e8;  // of one signal; more would fill any memory

void check_length(Time length, Time after, const char* key, std::vector<Finding>& findings) {
    if (length > after) return;
    findings.push_back({{},
                        "manoeuvre.length",
                        write_quantity(length),
                        fmt::format("more than {}, which is {}", key, write_quantity(after)),
                        "Make the run longer, or the time before shorter."});
}

void check_gear(const TorqueChange& change, const Gearbox& gearbox,
                std::vector<Finding>& findings) {
    std::vector<std::string> names;
    for (const GearPair& gear : gearbox.gears) names.push_back(gear.name);
    for (const auto& name : names) {
        if (name == change.gear) return;
    }
    const std::string near = nearest_word(change.gear, names);
    findings.push_back({{},
                        "manoeuvre.gear",
                        fmt::format("\"{}\"", change.gear),
                        fmt::format("a gear of the gearbox: {}", fmt::join(names, ", ")),
                        near.empty() ? "" : fmt::format("Did you mean \"{}\"?", near)});
}

void check_direction(const Manoeuvre& manoeuvre, const TorqueChange& change,
                     std::vector<Finding>& findings) {
    const bool rises = std::holds_alternative<TipIn>(manoeuvre);
    if (rises ? change.to > change.from : change.to < change.from) return;
    findings.push_back({{},
                        "manoeuvre.to",
                        write_quantity(change.to),
                        fmt::format("{} than from, which is {}", rises ? "more" : "less",
                                    write_quantity(change.from)),
                        rises ? "At a tip in the torque rises; when it falls it is a back out."
                              : "At a back out the torque falls; when it rises it is a tip in."});
}

}  // namespace

std::string kind_of(const Manoeuvre& manoeuvre) {
    if (std::holds_alternative<Idle>(manoeuvre)) return "idle";
    return std::holds_alternative<TipIn>(manoeuvre) ? "tip in" : "back out";
}

std::vector<Finding> check(const Scenario& scenario) {
    std::vector<Finding> findings;
    Time length;
    if (const auto* idle = std::get_if<Idle>(&scenario.manoeuvre)) {
        length = idle->length;
        check_length(length, idle->settle, "settle", findings);
    } else {
        const TorqueChange& change = *torque_change_of(scenario.manoeuvre);
        length = change.length;
        check_length(length, change.start, "start", findings);
        check_gear(change, scenario.vehicle.gearbox, findings);
        check_direction(scenario.manoeuvre, change, findings);
    }
    if (length.si() > most_samples * scenario.recording.step.si()) {
        findings.push_back({{},
                            "recording.step",
                            write_quantity(scenario.recording.step),
                            "at least " +
                                write_quantity(Time::from_si(length.si() / most_samples)) +
                                " for a run of " + write_quantity(length),
                            "Record more coarsely, or make the run shorter."});
    }
    return findings;
}

}  // namespace damper
