// SPDX-License-Identifier: MIT
#include "libdamper/outputs/fit_text.hpp"

#include <nlohmann/json.hpp>
#include <string>

namespace damper {

namespace {
using Json = nlohmann::ordered_json;
}

std::string fit_json(const FitRecord& record) {
    Json json;
    json["name"] = record.name;
    json["title"] = record.identity.title;
    json["stages"] = record.stages;
    json["zero_twist"] = {{"value", record.zero_twist}, {"unit", "rad"}};
    Json& figures = json["figures"] = Json::array();
    for (const FitFigure& figure : record.figures) {
        Json one = {{"key", figure.key},    {"name", figure.name},   {"stage", figure.stage},
                    {"unit", figure.units}, {"value", figure.value}, {"known", figure.known}};
        if (figure.known != "open") {
            one["low"] = figure.low;
            one["high"] = figure.high;
        }
        if (!figure.standing.empty()) {
            one["nominal"] = figure.nominal;
            one["deviation"] = figure.deviation;
            one["error"] = figure.error;
            one["tolerance"] = figure.tolerance;
            one["relative"] = figure.relative;
            one["standing"] = figure.standing;
        }
        figures.push_back(std::move(one));
    }
    if (!record.nominal.empty()) {
        json["nominal"] = record.nominal;
        json["within"] = record.within;
        json["findings"] = record.findings;
    }
    Json& runs = json["runs"] = Json::array();
    for (const FitRun& run : record.runs) {
        runs.push_back({{"file", run.name},
                        {"loops", run.loops},
                        {"rows", run.samples},
                        {"left_out", run.left_out},
                        {"torque_noise_Nm", run.torque_noise},
                        {"twist_noise_rad", run.twist_noise},
                        {"torque_zero_Nm", run.torque_zero},
                        {"drift_Nm", run.drift},
                        {"misfit", run.misfit}});
    }
    Json& tried = json["tried"] = Json::array();
    for (const FitTried& one : record.tried) {
        tried.push_back({{"stages", one.stages},
                         {"drive_pieces", one.drive_pieces},
                         {"coast_pieces", one.coast_pieces},
                         {"play", one.play},
                         {"first_preload", one.first_preload},
                         {"sum_of_squares", one.sum_of_squares},
                         {"unknowns", one.unknowns},
                         {"criterion", one.criterion}});
    }
    json["notes"] = record.notes;
    Json& inputs = json["inputs"] = Json::array();
    for (const auto& [file, hash] : record.identity.inputs) {
        inputs.push_back({{"file", file}, {"sha256", hash}});
    }
    json["program_version"] = record.identity.program_version;
    json["command_line"] = record.identity.command_line;
    return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace damper
