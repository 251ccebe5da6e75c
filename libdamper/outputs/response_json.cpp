// SPDX-License-Identifier: MIT
#include "libdamper/outputs/response_text.hpp"

#include <nlohmann/json.hpp>

namespace damper {

namespace {

using Json = nlohmann::ordered_json;

Json curve_json(const ResponseCurve& curve) {
    Json tops = Json::array();
    for (const ResponseCurve::Top& top : curve.tops) {
        tops.push_back(
            {{"frequency", top.frequency}, {"peak", top.peak}, {"damping", top.damping}});
    }
    return {{"name", curve.name},           {"label", curve.label}, {"units", curve.units},
            {"magnitude", curve.magnitude}, {"phase", curve.phase}, {"resonances", tops}};
}

Json stage_json(const StageIsolation& stage) {
    return {{"stage", stage.stage},
            {"side", stage.side},
            {"torque", stage.torque},
            {"stiffness", stage.stiffness},
            {"slips_at_firing", stage.slips_firing},
            {"sticks_at_firing", stage.sticks_firing},
            {"slips", stage.slips},
            {"sticks", stage.sticks}};
}

Json row_json(const EquivalentRow& row) {
    return {{"frequency", row.frequency},
            {"twist", row.twist},
            {"mean_twist", row.mean_twist},
            {"stiffness", row.stiffness},
            {"damping", row.damping},
            {"isolation", row.isolation},
            {"mismatch", row.mismatch},
            {"smaller_twist", row.smaller_twist},
            {"smaller_isolation", row.smaller_isolation}};
}

}  // namespace

std::string response_json(const ResponseRecord& record) {
    Json json = {{"title", record.identity.title},
                 {"vehicle", record.identity.vehicle},
                 {"disc", record.identity.disc},
                 {"program_version", record.identity.program_version},
                 {"command_line", record.identity.command_line},
                 {"units",
                  {{"frequency", "Hz"},
                   {"phase", "rad"},
                   {"torque", "N.m"},
                   {"twist", "rad"},
                   {"stiffness", "N.m/rad"},
                   {"damping", "N.m.s/rad"},
                   {"isolation", "1"}}},
                 {"gear", record.gear},
                 {"engine_speed", record.speed},
                 {"engine_torque", record.torque},
                 {"disc_torque", record.disc_torque},
                 {"stage", record.stage},
                 {"disc_stiffness", record.disc_stiffness},
                 {"firing_order", record.firing_order},
                 {"firing_frequency", record.firing_frequency},
                 {"firing_torque", record.firing_torque},
                 {"from", record.from},
                 {"friction", record.friction},
                 {"swing", record.swing},
                 {"met_in", record.swinging}};
    json["changes"] = Json::array();
    for (const auto& [key, value] : record.identity.changes) {
        json["changes"].push_back({{"key", key}, {"value", value}});
    }
    json["frequency"] = record.frequency;
    json["responses"] = Json::array();
    for (const ResponseCurve& curve : record.curves) json["responses"].push_back(curve_json(curve));
    json["isolation"] = Json::array();
    for (const StageIsolation& stage : record.stages)
        json["isolation"].push_back(stage_json(stage));
    json["met"] = Json::array();
    for (const EquivalentRow& row : record.equivalent) json["met"].push_back(row_json(row));
    json["met_at_firing"] = record.equivalent.empty() ? Json() : row_json(record.at_firing);
    json["remarks"] = record.remarks;
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace damper
