// SPDX-License-Identifier: MIT
#include "libdamper/base/version.hpp"
#include "libdamper/outputs/json_parts.hpp"
#include "libdamper/outputs/recording_text.hpp"

namespace damper {

namespace {

using Json = nlohmann::ordered_json;

Json quality_json(const RecordingFindings& findings) {
    Json out = Json::array();
    for (const QualityNote& one : findings.quality) {
        out.push_back({{"weight", word_of(one.weight)}, {"about", one.about}, {"text", one.text}});
    }
    return out;
}

Json figures_json(const RecordingFindings& findings) {
    Json out = Json::array();
    for (const RecordingFigure& one : findings.figures) {
        out.push_back({{"key", one.key},
                       {"value", one.value},
                       {"units", one.units},
                       {"half_width", one.half_width},
                       {"doubtful", one.doubtful}});
    }
    return out;
}

Json orders_json(const RecordingFindings& findings) {
    Json rows = Json::array();
    for (const OrderRow& row : findings.orders) {
        rows.push_back({{"order", row.order},
                        {"flywheel", row.flywheel},
                        {"flywheel_half_width", row.flywheel_half_width},
                        {"input", row.input},
                        {"input_half_width", row.input_half_width},
                        {"ratio", row.ratio},
                        {"ratio_half_width", row.ratio_half_width},
                        {"coherence", row.coherence}});
    }
    return {{"units", "rad/s"}, {"rows", rows}};
}

Json track_json(const RecordingFindings& findings) {
    Json rows = Json::array();
    for (const TrackRow& row : findings.track) {
        rows.push_back({{"time", row.time},
                        {"speed", row.speed},
                        {"flywheel", row.flywheel},
                        {"input", row.input}});
    }
    return {
        {"units", {{"time", "s"}, {"speed", "rad/s"}, {"flywheel", "rad/s2"}, {"input", "rad/s2"}}},
        {"rows", rows}};
}

}  // namespace

std::string recordings_json(const std::vector<RecordingFindings>& all,
                            const std::string& command_line) {
    Json json;
    json["program_version"] = program_version();
    json["command_line"] = command_line;
    Json& recordings = json["recordings"] = Json::array();
    for (const RecordingFindings& findings : all) {
        Json one;
        one["file"] = findings.name;
        one["sha256"] = findings.sha256;
        one["kind"] = word_of(findings.kind);
        one["usable"] = findings.usable();
        one["duration"] = {{"value", findings.duration}, {"units", "s"}};
        one["rate"] = {{"value", findings.rate}, {"units", "1/s"}};
        one["run_up"] = findings.run_up;
        one["firing_order"] = findings.firing_order;
        one["teeth"] = findings.teeth;
        one["missing_teeth"] = findings.missing_teeth;
        one["quality"] = quality_json(findings);
        one["figures"] = figures_json(findings);
        one["orders"] = orders_json(findings);
        one["track"] = track_json(findings);
        Json cylinders = Json::array();
        for (const CylinderRow& row : findings.cylinders) {
            cylinders.push_back({{"share", row.share}, {"half_width", row.half_width}});
        }
        one["cylinders"] = cylinders;
        one["cylinder_reading"] = findings.cylinder_reading;
        one["pitch_error"] = {{"units", "rad"}, {"values", findings.pitch_error}};
        recordings.push_back(std::move(one));
    }
    return json_dump(json);
}

}  // namespace damper
