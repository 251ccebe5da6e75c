// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/outputs/heat_text.hpp"
#include "libdamper/outputs/json_parts.hpp"
#include "libdamper/outputs/table_text.hpp"
#include "libdamper/results/heat_layout.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace damper {

namespace {

using Json = nlohmann::ordered_json;

/// "pressure plate" → "pressure_plate".
std::string underscored(std::string name) {
    std::replace(name.begin(), name.end(), ' ', '_');
    return name;
}

std::string steps_csv(const HeatRecord& record) {
    const std::string table = table_csv(record.steps, layout::heat_steps);
    std::size_t at = table.find('\n');
    std::string text = table.substr(0, at);
    for (const std::string& plate : record.plates) {
        text += fmt::format(",{0}_before_K,{0}_after_K", underscored(plate));
    }
    text += '\n';
    for (const HeatStep& step : record.steps) {
        const std::size_t end = table.find('\n', at + 1);
        text += table.substr(at + 1, end - at - 1);
        for (std::size_t i = 0; i < step.before.size(); ++i) {
            text += fmt::format(",{:.9g},{:.9g}", step.before[i], step.after[i]);
        }
        text += '\n';
        at = end;
    }
    return text;
}

std::string history_csv(const HeatRecord& record) {
    std::string text = "time_s";
    for (const std::string& plate : record.plates) text += fmt::format(",{}_K", underscored(plate));
    text += '\n';
    for (std::size_t n = 0; n < record.history.time.size(); ++n) {
        text += fmt::format("{:.9g}", record.history.time[n]);
        for (const double one : record.history.temperature[n]) text += fmt::format(",{:.9g}", one);
        text += '\n';
    }
    return text;
}

}  // namespace

std::vector<std::string> heat_curves() {
    return {"steps", "starts", "history"};
}

std::string heat_csv(const HeatRecord& record, std::string_view curve) {
    if (curve == "steps") return steps_csv(record);
    if (curve == "starts") return table_csv(record.starts, layout::heat_starts);
    if (curve == "history") return history_csv(record);
    throw ModelError(fmt::format("the heat of starts has no table \"{}\"", curve));
}

std::string heat_json(const HeatRecord& record) {
    Json json;
    json["run"] = run_json(record.identity);
    json["verdict"] = verdict_json(record.verdict);
    json["measures"] = measures_json(record.figures);
    json["gear"] = record.gear;
    json["plates"] = record.plates;
    json["heat_share"] = record.slip_share;
    json["ended"] = record.ended;
    json["starts_to_limit"] = record.starts_to_limit;
    json["starts_to_fade"] = record.starts_to_fade;
    json["numbers"] = {{"engine_speed", {{"value", record.engine_speed}, {"units", "rad/s"}}},
                       {"engine_inertia", {{"value", record.engine_inertia}, {"units", "kg.m2"}}},
                       {"vehicle_inertia", {{"value", record.vehicle_inertia}, {"units", "kg.m2"}}},
                       {"interval", {{"value", record.interval}, {"units", "s"}}},
                       {"surroundings", {{"value", record.surroundings}, {"units", "K"}}},
                       {"limit", {{"value", record.limit}, {"units", "K"}}},
                       {"cool", {{"value", record.cool}, {"units", "K"}}},
                       {"facing_area", {{"value", record.facing_area}, {"units", "m2"}}},
                       {"settled", {{"value", record.settled}, {"units", "K"}}},
                       {"time_to_cool", {{"value", record.time_to_cool}, {"units", "s"}}},
                       {"energy_in", {{"value", record.energy_in}, {"units", "J"}}},
                       {"energy_stored", {{"value", record.energy_stored}, {"units", "J"}}},
                       {"energy_lost", {{"value", record.energy_lost}, {"units", "J"}}}};
    json["starts"] = {{"units", units_json(layout::heat_starts)},
                      {"rows", table_json(record.starts, layout::heat_starts)}};
    Json steps = table_json(record.steps, layout::heat_steps);
    for (std::size_t i = 0; i < record.steps.size(); ++i) {
        steps[i]["before"] = record.steps[i].before;
        steps[i]["after"] = record.steps[i].after;
    }
    Json units = units_json(layout::heat_steps);
    units["before"] = "K";
    units["after"] = "K";
    json["steps"] = {{"units", units}, {"rows", steps}};
    json["history"] = {{"units", {{"time", "s"}, {"temperature", "K"}}},
                       {"time", record.history.time},
                       {"temperature", record.history.temperature}};
    return json_dump(json);
}

}  // namespace damper
