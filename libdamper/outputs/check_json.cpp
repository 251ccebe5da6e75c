// SPDX-License-Identifier: MIT
#include "libdamper/outputs/check_text.hpp"
#include "libdamper/outputs/check_words.hpp"
#include "libdamper/outputs/grade_text.hpp"
#include "libdamper/outputs/json_parts.hpp"

#include <cmath>
#include <utility>

namespace damper {

namespace {

using Json = nlohmann::ordered_json;

Json finite(double value) {
    return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json value_json(const CheckedValue& one) {
    Json out = {{"name", one.name},
                {"units", one.units},
                {"against", against_key(one.against)},
                {"value", finite(one.value)},
                {"low", finite(one.low)},
                {"high", finite(one.high)},
                {"expected", finite(one.expected)},
                {"margin", finite(one.margin)},
                {"kept", one.kept},
                {"why", one.why}};
    if (one.against == CheckedAgainst::baseline_signal) out["time_s"] = one.time;
    return out;
}

Json scenario_json(const CheckedScenario& one) {
    Json values = Json::array();
    for (const CheckedValue& value : one.values) values.push_back(value_json(value));
    const bool ran = one.end == CheckEnd::kept || one.end == CheckEnd::missed;
    return {{"scenario", one.name},
            {"title", one.title},
            {"vehicle", one.vehicle},
            {"file", one.file},
            {"end", end_key(one.end)},
            {"message", one.message},
            {"smallest_margin", one.values.empty() ? Json(nullptr) : finite(one.values[0].margin)},
            {"grade", ran ? Json(grade_key(one.grade)) : Json(nullptr)},
            {"values", std::move(values)},
            {"notes", one.notes}};
}

}  // namespace

std::string check_json(const CheckReport& report, bool with_times) {
    Json scenarios = Json::array();
    Json times = Json::object();
    for (const CheckedScenario* one : by_margin(report)) {
        scenarios.push_back(scenario_json(*one));
        times[one->name] = one->seconds;
    }
    Json counts = Json::object();
    for (const CheckEnd end : {CheckEnd::kept, CheckEnd::missed, CheckEnd::unchanged,
                               CheckEnd::bad_input, CheckEnd::unsolved, CheckEnd::not_reached}) {
        counts[std::string(end_key(end))] = report.count(end);
    }
    Json out = {{"format", "damper check"},
                {"format_version", 1},
                {"program_version", report.program_version},
                {"baseline", report.baseline_folder},
                {"counts", std::move(counts)},
                {"scenarios", std::move(scenarios)},
                {"notes", report.notes}};
    if (with_times) {
        out["times"] = {{"whole_s", report.seconds},
                        {"threads", report.threads},
                        {"scenarios_s", std::move(times)}};
    }
    return json_dump(out);
}

}  // namespace damper
