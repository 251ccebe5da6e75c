// SPDX-License-Identifier: MIT
#include "libdamper/outputs/json_parts.hpp"
#include "libdamper/outputs/study_text.hpp"
#include "libdamper/outputs/table_text.hpp"
#include "libdamper/results/study_layout.hpp"

#include <cmath>
#include <fmt/format.h>

namespace damper {

namespace {

using Json = nlohmann::ordered_json;

/// A CSV cell: in quotation marks where it needs them.
std::string cell(const std::string& text) {
    if (text.find_first_of(",\"\n") == std::string::npos) return text;
    std::string out(1, '"');
    for (const char letter : text) {
        if (letter == '"') out.push_back('"');
        out.push_back(letter);
    }
    out.push_back('"');
    return out;
}

std::string heading(const std::string& name, const std::string& units) {
    const std::string shown = heading_units(units);
    return cell(shown.empty() || shown == "1" ? name : name + "_" + shown);
}

void add_number(std::string& text, double value) {
    text += std::isfinite(value) ? fmt::format(",{:.17g}", value) : ",";
}

}  // namespace

std::string study_csv(const StudyRecord& record) {
    const StudyHead& head = record.head;
    std::string text = "variant,ended";
    for (const StudyKey& key : head.keys) text.append(1, ',').append(heading(key.key, key.units));
    for (const std::size_t number : record.present) {
        text.append(1, ',').append(
            heading(head.measures[number].name, head.measures[number].units));
    }
    text += "\n";
    for (std::size_t r = 0; r < record.variants.size(); ++r) {
        text += fmt::format("{},{}", record.variants[r], record.ended[r]);
        for (std::size_t k = 0; k < head.keys.size(); ++k) {
            const auto& choices = head.keys[k].choices;
            const double value = record.values[k][r];
            if (choices.empty()) {
                add_number(text, value);
            } else {
                text.append(1, ',').append(cell(choices.at(static_cast<std::size_t>(value))));
            }
        }
        for (const auto& column : record.measures) add_number(text, column[r]);
        text += "\n";
    }
    return text;
}

std::string study_json(const StudyRecord& record) {
    const StudyHead& head = record.head;
    Json json;
    json["format"] = layout::study_format_name;
    json["run"] = run_json(head.identity);
    json["verb"] = head.verb;
    json["design"] = head.design;
    json["count"] = head.asked;
    json["variants"] = head.total;
    json["seed"] = head.seed;
    json["nominal_grade"] = head.nominal;
    json["model_hash"] = head.model_hash;
    json["study_hash"] = head.study_hash;
    json["done"] = record.done();
    json["refused"] = record.refused;
    json["broken"] = record.broken;
    json["missing"] = table_json(record.missing, layout::study_missing);
    json["any_limit_missed"] = {{"count", record.any_beyond},
                                {"share", record.any_share},
                                {"low", record.any_low},
                                {"high", record.any_high},
                                {"confidence", 0.95}};
    json["limits"] = table_json(record.limits, layout::study_limits);
    json["statistics"] = table_json(record.statistics, layout::study_statistics);
    json["influences"] = table_json(record.influences, layout::study_influences);
    json["effects"] = table_json(record.effects, layout::study_effects);
    json["indices"] = table_json(record.indices, layout::study_indices);
    json["failures"] = table_json(record.failures, layout::study_failures);
    Json keys = Json::array();
    for (std::size_t k = 0; k < head.keys.size(); ++k) {
        keys.push_back({{"key", head.keys[k].key},
                        {"asked", head.keys[k].asked},
                        {"units", head.keys[k].units},
                        {"multiplies", head.keys[k].multiplies},
                        {"choices", head.keys[k].choices},
                        {"values", record.values[k]}});
    }
    json["keys"] = std::move(keys);
    json["variant"] = record.variants;
    json["ended"] = record.ended;
    Json measures = Json::object();
    for (std::size_t m = 0; m < record.present.size(); ++m) {
        const StudyMeasure& one = head.measures[record.present[m]];
        measures[one.name] = {{"units", one.units}, {"values", record.measures[m]}};
    }
    json["measures"] = std::move(measures);
    return json_dump(json);
}

}  // namespace damper
