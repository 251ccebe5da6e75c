// SPDX-License-Identifier: MIT
#include "libdamper/outputs/orbit_text.hpp"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

namespace damper {

namespace {

std::string key_of(std::string_view name) {
    std::string key;
    for (const char c : name) {
        const bool plain =
            (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
        key += plain ? c : '_';
    }
    return key;
}

nlohmann::ordered_json number(double value) {
    return std::isfinite(value) ? nlohmann::ordered_json(value) : nlohmann::ordered_json();
}

nlohmann::ordered_json numbers(const std::vector<double>& values) {
    auto out = nlohmann::ordered_json::array();
    for (const double value : values) out.push_back(number(value));
    return out;
}

nlohmann::ordered_json point_json(const OrbitRecord& record, const OrbitPoint& p) {
    nlohmann::ordered_json out{{"parameter", number(p.parameter)},
                               {"engine_speed", number(p.engine_speed)},
                               {"engine_torque", number(p.engine_torque)},
                               {"holding_torque", number(p.holding_torque)},
                               {"harmonics", p.harmonics},
                               {"truncation", number(p.truncation)},
                               {"closing_error", number(p.closing_error)},
                               {"mode_changes", p.mode_changes},
                               {"is_fold", p.is_fold},
                               {"method", method_name(p.method)},
                               {"periods", p.periods}};
    out["stable"] = p.judged ? nlohmann::ordered_json(p.stable) : nlohmann::ordered_json();
    out["multiplier"] = p.judged ? number(p.multiplier) : nlohmann::ordered_json();
    for (std::size_t s = 0; s < record.signals.size(); ++s) {
        out[key_of(record.signals[s].name)] = {{"amplitude", numbers(p.amplitude[s])},
                                               {"peak_to_peak", number(p.swing[s])}};
    }
    out["rattle_ratio"] = numbers(p.rattle_ratio);
    return out;
}

}  // namespace

std::string orbit_json(const OrbitRecord& record) {
    nlohmann::ordered_json json;
    json["scenario"] = record.identity.scenario;
    json["title"] = record.identity.title;
    json["vehicle"] = record.identity.vehicle;
    json["disc"] = record.identity.disc;
    json["curve"] = record.curve;
    json["gear"] = record.gear;
    json["key"] = record.key;
    json["key_multiplies"] = record.key_multiplies;
    json["held_speed"] = number(record.engine_speed);
    json["load"] = number(record.load);
    json["loose_gears"] = record.loose_gears;
    json["complete"] = record.complete;
    json["gaps"] = nlohmann::ordered_json::array();
    for (const OrbitGap& gap : record.gaps) {
        json["gaps"].push_back(
            {{"low", number(gap.low)}, {"high", number(gap.high)}, {"why", gap.why}});
    }
    nlohmann::ordered_json units{{"parameter", record.key.empty() ? "rad/s" : record.key_units},
                                 {"engine_speed", "rad/s"},
                                 {"engine_torque", "N.m"},
                                 {"holding_torque", "N.m"},
                                 {"truncation", "1"},
                                 {"closing_error", "1"},
                                 {"multiplier", "1"},
                                 {"rattle_ratio", "1"}};
    for (const OrbitRecord::Signal& signal : record.signals) {
        units[key_of(signal.name)] = signal.units;
    }
    json["units"] = units;
    json["firing_order"] = number(record.firing_order);
    json["orders"] = numbers(record.orders);
    json["gears"] = record.gears;
    json["folds"] = numbers(record.folds);
    json["jumps"] = nlohmann::ordered_json::array();
    for (const OrbitJump& jump : record.jumps) {
        json["jumps"].push_back({{"low", number(jump.low)}, {"high", number(jump.high)}});
    }
    json["points"] = nlohmann::ordered_json::array();
    for (const OrbitPoint& p : record.points) json["points"].push_back(point_json(record, p));
    json["unsettled"] = nlohmann::ordered_json::array();
    for (const OrbitUnsettled& run : record.unsettled) {
        json["unsettled"].push_back({{"parameter", number(run.parameter)},
                                     {"engine_speed", number(run.engine_speed)},
                                     {"run_periods", run.periods},
                                     {"period_change", number(run.change)},
                                     {"amplitude", number(run.amplitude)},
                                     {"repeats", run.repeats}});
    }
    json["checks"] = nlohmann::ordered_json::array();
    for (const OrbitCheck& check : record.checks) {
        json["checks"].push_back({{"parameter", number(check.parameter)},
                                  {"engine_speed", number(check.engine_speed)},
                                  {"finished", check.finished},
                                  {"trouble", check.trouble},
                                  {"periodic", check.periodic},
                                  {"run_periods", check.periods},
                                  {"period_change", number(check.period_change)},
                                  {"curve", numbers(check.curve)},
                                  {"run", numbers(check.run)},
                                  {"deviation", number(check.deviation)}});
    }
    return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

std::string orbit_csv(const OrbitRecord& record) {
    // A column of its own for a key, under its name and unit.
    const bool varied = !record.key.empty();
    std::string text;
    if (varied) text = fmt::format("{}_{},", key_of(record.key), key_of(record.key_units));
    text +=
        "engine_speed_rad_s,engine_torque_Nm,holding_torque_Nm,stable,multiplier,method,periods";
    for (const OrbitRecord::Signal& signal : record.signals) {
        for (const double order : record.orders) {
            text +=
                fmt::format(",{}_order_{:g}_{}", key_of(signal.name), order, key_of(signal.units));
        }
        text += fmt::format(",{}_peak_to_peak_{}", key_of(signal.name), key_of(signal.units));
    }
    for (const std::string& gear : record.gears) text += ",rattle_ratio_" + key_of(gear);
    text += "\n";
    for (const OrbitPoint& p : record.points) {
        if (varied) text += fmt::format("{:.9g},", p.parameter);
        text += fmt::format(
            "{:.9g},{:.9g},{:.9g},{},{},{},{}", p.engine_speed, p.engine_torque, p.holding_torque,
            !p.judged  ? ""
            : p.stable ? "1"
                       : "0",
            p.judged ? fmt::format("{:.9g}", p.multiplier) : "", method_name(p.method), p.periods);
        for (std::size_t s = 0; s < record.signals.size(); ++s) {
            for (const double a : p.amplitude[s]) text += fmt::format(",{:.9g}", a);
            text += fmt::format(",{:.9g}", p.swing[s]);
        }
        for (const double ratio : p.rattle_ratio) text += fmt::format(",{:.9g}", ratio);
        text += "\n";
    }
    return text;
}

}  // namespace damper
