// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/outputs/cover_text.hpp"
#include "libdamper/outputs/json_parts.hpp"
#include "libdamper/outputs/table_text.hpp"
#include "libdamper/results/cover_layout.hpp"

#include <fmt/format.h>

namespace damper {

namespace {

using Json = nlohmann::ordered_json;

template <class Row, class Columns>
Json with_units(const std::vector<Row>& rows, const Columns& columns) {
    return {{"units", units_json(columns)}, {"rows", table_json(rows, columns)}};
}

std::string release_csv(const CoverRecord& record) {
    std::string text;
    for (const CoverReleaseCurve& curve : record.release_curves) {
        const std::string table = table_csv(curve.points, layout::cover_release);
        std::size_t at = table.find('\n') + 1;
        if (text.empty()) text = "state," + table.substr(0, at);
        while (at < table.size()) {
            const std::size_t end = table.find('\n', at) + 1;
            text += curve.state + "," + table.substr(at, end - at);
            at = end;
        }
    }
    return text;
}

std::string measured_csv(const CoverRecord& record) {
    std::string text = "what,x_m,measured,computed,units,deviation\n";
    for (const CoverComparison& one : record.comparisons) {
        for (std::size_t i = 0; i < one.x.size(); ++i) {
            text += fmt::format("{},{:.9g},{:.9g},{:.9g},{},{:.9g}\n", one.what, one.x[i],
                                one.measured[i], one.computed[i], one.units, one.deviation[i]);
        }
    }
    return text;
}

/// Names hold commas; a CSV cell with one stands in quotation marks.
std::string cases_csv(const CoverRecord& record) {
    std::vector<CoverCase> quoted = record.cases;
    for (CoverCase& one : quoted) one.name = "\"" + one.name + "\"";
    return table_csv(quoted, layout::cover_cases);
}

}  // namespace

std::vector<std::string> cover_curves() {
    return {"wear", "spring", "release", "temperature", "states", "cases", "measured"};
}

std::string cover_csv(const CoverRecord& record, std::string_view curve) {
    if (curve == "wear") return table_csv(record.wear, layout::cover_wear);
    if (curve == "spring") return table_csv(record.spring, layout::cover_spring);
    if (curve == "release") return release_csv(record);
    if (curve == "temperature") return table_csv(record.temperatures, layout::cover_temperatures);
    if (curve == "states") return table_csv(record.states, layout::cover_states);
    if (curve == "cases") return cases_csv(record);
    if (curve == "measured") return measured_csv(record);
    throw ModelError(fmt::format("a clutch cover has no curve \"{}\"", curve));
}

std::string cover_json(const CoverRecord& record) {
    Json json;
    json["run"] = run_json(record.identity);
    json["verdict"] = verdict_json(record.verdict);
    json["measures"] = measures_json(record.figures);
    json["cover"] = record.cover;
    json["facing"] = record.facing;
    json["release"] = record.release;
    json["discs"] = record.discs;
    json["numbers"] = {{"torque", {{"value", record.torque}, {"units", "N.m"}}},
                       {"warm", {{"value", record.warm}, {"units", "K"}}},
                       {"hot", {{"value", record.hot}, {"units", "K"}}},
                       {"friction_warm", {{"value", record.friction_warm}, {"units", "1"}}},
                       {"friction_hot", {{"value", record.friction_hot}, {"units", "1"}}},
                       {"lever", {{"value", record.lever}, {"units", "1"}}},
                       {"travel", {{"value", record.travel}, {"units", "m"}}},
                       {"needed_lift", {{"value", record.needed_lift}, {"units", "m"}}},
                       {"wear_allowance", {{"value", record.wear_allowance}, {"units", "m"}}},
                       {"slip_wear", {{"value", record.slip_wear}, {"units", "m"}}},
                       {"set_shift", {{"value", record.set_shift}, {"units", "m"}}},
                       {"flat_deflection", {{"value", record.flat_deflection}, {"units", "m"}}},
                       {"pedal_force", {{"value", record.pedal_force}, {"units", "N"}}}};
    json["states"] = with_units(record.states, layout::cover_states);
    json["spring"] = with_units(record.spring, layout::cover_spring);
    json["wear"] = with_units(record.wear, layout::cover_wear);
    json["release_curves"] = Json::object();
    for (const CoverReleaseCurve& curve : record.release_curves) {
        json["release_curves"][curve.state] = with_units(curve.points, layout::cover_release);
    }
    json["temperatures"] = with_units(record.temperatures, layout::cover_temperatures);
    json["cases"] = with_units(record.cases, layout::cover_cases);
    json["measured"] = Json::array();
    for (const CoverComparison& one : record.comparisons) {
        json["measured"].push_back({{"what", one.what},
                                    {"against", one.against},
                                    {"file", one.file},
                                    {"sha256", one.sha256},
                                    {"units", one.units},
                                    {"x", one.x},
                                    {"measured", one.measured},
                                    {"computed", one.computed},
                                    {"deviation", one.deviation},
                                    {"mean_deviation", one.mean},
                                    {"largest_deviation", one.largest}});
    }
    return json_dump(json);
}

}  // namespace damper
