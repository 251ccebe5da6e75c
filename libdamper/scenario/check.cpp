// SPDX-License-Identifier: MIT
#include "libdamper/scenario/check.hpp"

#include "libdamper/base/nearest_word.hpp"
#include "libdamper/quantity/write_quantity.hpp"
#include "libdamper/scenario/recorded_speed.hpp"

#include <array>
#include <fmt/format.h>
#include <string>
#include <utility>

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

void check_gear(const std::string& gear, const Gearbox& gearbox, std::vector<Finding>& findings) {
    if (gear.empty()) return;
    std::vector<std::string> names;
    for (const GearPair& pair : gearbox.gears) names.push_back(pair.name);
    for (const auto& name : names) {
        if (name == gear) return;
    }
    const std::string near = nearest_word(gear, names);
    findings.push_back({{},
                        "manoeuvre.gear",
                        fmt::format("\"{}\"", gear),
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

void check_range(const Manoeuvre& manoeuvre, const SpeedRun& run, std::vector<Finding>& findings) {
    const bool rises = std::holds_alternative<Pull>(manoeuvre);
    if (!(rises ? run.to > run.from : run.to < run.from)) {
        findings.push_back({{},
                            "manoeuvre.to",
                            write_quantity(run.to),
                            fmt::format("{} than from, which is {}", rises ? "more" : "less",
                                        write_quantity(run.from)),
                            rises ? "A pull goes up through the speeds; down it is an overrun."
                                  : "An overrun goes down through the speeds; up it is a pull."});
    }
    if (run.sweep.si() > 0.0 && !(run.sweep > run.settle)) {
        findings.push_back({{},
                            "manoeuvre.sweep",
                            write_quantity(run.sweep),
                            "more than settle, which is " + write_quantity(run.settle),
                            "Make the sweep longer, or leave less out of the measures."});
    }
}

void check_starter(const Engine& engine, std::vector<Finding>& findings) {
    if (engine.starter_torque.si() > 0.0 && engine.starter_speed.si() > 0.0) return;
    const bool torque = !(engine.starter_torque.si() > 0.0);
    findings.push_back(
        {{},
         torque ? "engine.starter_torque" : "engine.starter_speed",
         torque ? write_quantity(engine.starter_torque) : write_quantity(engine.starter_speed),
         "more than 0 for an engine start",
         "Give the engine its starter_torque and starter_speed."});
}

template <class Point>
void check_times(const std::vector<Point>& list, const char* name, std::vector<Finding>& findings) {
    for (std::size_t i = 1; i < list.size(); ++i) {
        if (list[i].time > list[i - 1].time) continue;
        findings.push_back(
            {{},
             fmt::format("manoeuvre.{}[{}].time", name, i),
             write_quantity(list[i].time),
             "more than " + write_quantity(list[i - 1].time) + ", that of the point before it",
             "Points are listed by time."});
        return;
    }
}

void check_take_up(const TakeUp& take_up, const Vehicle& vehicle, std::vector<Finding>& findings) {
    check_times(take_up.course, "course", findings);
    check_times(take_up.release, "release", findings);
    if (!take_up.course.empty() && !take_up.release.empty()) {
        findings.push_back({{},
                            "manoeuvre.release",
                            "a course of the clamp load as well",
                            "one of the two",
                            "The clamp load follows from the release travel: leave course out."});
    }
    struct Part {
        bool there;
        const char* key;
        const char* mend;
    };
    for (const Part& part :
         {Part{vehicle.cover.has_value(), "cover",
               "Add cover = \"NAME\" to the vehicle or, to try one, --set cover=NAME."},
          Part{vehicle.facing.has_value(), "facing",
               "Add facing = \"NAME\" to the vehicle or, to try one, --set facing=NAME."},
          Part{vehicle.flywheel.has_value(), "flywheel",
               "Add a table [flywheel] with exchange, heat.mass and heat.cooling."}}) {
        if (part.there) continue;
        findings.push_back({{},
                            part.key,
                            fmt::format("no {} in \"{}\"", part.key, vehicle.title),
                            "a vehicle that has one: at a take-up its clutch slips",
                            part.mend});
    }
    // A governor hears of the speed once per firing; one that is quicker would work on the ripple.
    constexpr double quickest = 100.0;  // 1/s
    const Damping most = Damping::from_si(quickest * vehicle.engine.inertia.si());
    if (take_up.governor > most) {
        findings.push_back(
            {{},
             "manoeuvre.governor",
             write_quantity(take_up.governor),
             "at most " + write_quantity(most, 3) + ", 100/s times the engine's inertia",
             "A stiffer hold of the speed would work inside single firings."});
    }
    if (take_up.load.si() > 0.0) return;
    findings.push_back({{},
                        "manoeuvre.load",
                        write_quantity(take_up.load),
                        "more than 0",
                        "Without torque the engine stalls."});
}

/// What must come before the end of the run, and its key.
std::pair<Time, const char*> before_end(const Manoeuvre& manoeuvre) {
    if (const TorqueChange* change = torque_change_of(manoeuvre)) return {change->start, "start"};
    if (const auto* start = std::get_if<EngineStart>(&manoeuvre)) return {start->fires, "fires"};
    if (const auto* stop = std::get_if<EngineStop>(&manoeuvre)) return {stop->off, "off"};
    if (const auto* idle = std::get_if<Idle>(&manoeuvre)) return {idle->settle, "settle"};
    if (const auto* take_up = std::get_if<TakeUp>(&manoeuvre)) return {take_up->start, "start"};
    if (const auto* creep = std::get_if<Creep>(&manoeuvre)) return {creep->settle, "settle"};
    if (const auto* recorded = std::get_if<RecordedSpeed>(&manoeuvre)) {
        return {recorded->settle, "settle"};
    }
    return {speed_run_of(manoeuvre)->settle, "settle"};
}

}  // namespace

std::span<const std::string_view> manoeuvre_kinds() {
    static constexpr std::array<std::string_view, std::variant_size_v<Manoeuvre>> kinds = {
        "idle",  "tip in",       "back out",    "pull",           "overrun",
        "creep", "engine start", "engine stop", "recorded speed", "take up"};
    return kinds;
}

std::string kind_of(const Manoeuvre& manoeuvre) {
    return std::string(manoeuvre_kinds()[manoeuvre.index()]);
}

std::vector<Finding> check(const Scenario& scenario) {
    std::vector<Finding> findings;
    const Manoeuvre& manoeuvre = scenario.manoeuvre;
    const Time length = length_of(manoeuvre);
    const auto [before, key] = before_end(manoeuvre);
    check_length(length, before, key, findings);
    check_gear(gear_of(manoeuvre), scenario.vehicle.gearbox, findings);
    if (const TorqueChange* change = torque_change_of(manoeuvre)) {
        check_direction(manoeuvre, *change, findings);
    }
    if (const SpeedRun* run = speed_run_of(manoeuvre)) check_range(manoeuvre, *run, findings);
    if (const auto* take_up = std::get_if<TakeUp>(&manoeuvre)) {
        check_take_up(*take_up, scenario.vehicle, findings);
    }
    if (std::holds_alternative<EngineStart>(manoeuvre)) {
        check_starter(scenario.vehicle.engine, findings);
    }
    if (const auto* recorded = std::get_if<RecordedSpeed>(&manoeuvre)) {
        check_recording(*recorded, scenario.vehicle.engine, findings);
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
