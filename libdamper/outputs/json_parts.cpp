// SPDX-License-Identifier: MIT
#include "libdamper/outputs/json_parts.hpp"

#include "libdamper/outputs/grade_text.hpp"

#include <utility>

namespace damper {
namespace {

using Json = nlohmann::ordered_json;

Json pairs(const std::vector<std::pair<std::string, std::string>>& list, const char* name,
           const char* value) {
    Json out = Json::array();
    for (const auto& [first, second] : list) out.push_back({{name, first}, {value, second}});
    return out;
}

Json judgements_json(const std::vector<Judgement>& judgements) {
    Json out = Json::array();
    for (const auto& judgement : judgements) {
        out.push_back({{"measure", judgement.measure},
                       {"units", judgement.units},
                       {"value", judgement.value},
                       {"good", judgement.good},
                       {"bad", judgement.bad},
                       {"grade", grade_key(judgement.grade)},
                       {"margin", judgement.margin},
                       {"source", judgement.source},
                       {"sentence", judgement.sentence}});
    }
    return out;
}

}  // namespace

Json run_json(const RunIdentity& identity) {
    return {{"scenario", identity.scenario},
            {"title", identity.title},
            {"origin", identity.origin},
            {"vehicle", identity.vehicle},
            {"vehicle_class", identity.vehicle_class},
            {"disc", identity.disc},
            {"manoeuvre", identity.manoeuvre},
            {"conditions", pairs(identity.conditions, "name", "value")},
            {"changes", pairs(identity.changes, "key", "value")},
            {"causes", pairs(identity.causes, "key", "cause")},
            {"inputs", pairs(identity.inputs, "file", "sha256")},
            {"program_version", identity.program_version},
            {"command_line", identity.command_line}};
}

Json verdict_json(const Verdict& verdict) {
    return {{"grade", grade_key(verdict.grade)},
            {"headline", verdict.headline},
            {"reasons", verdict.reasons},
            {"judgements", judgements_json(verdict.judgements)},
            {"cautions", verdict.cautions}};
}

Json measures_json(const std::vector<MeasureValue>& measures) {
    Json out = Json::array();
    for (const auto& measure : measures) {
        const char* better = measure.better == Better::less   ? "less"
                             : measure.better == Better::more ? "more"
                                                              : "neither";
        Json one = {{"name", measure.name},
                    {"units", measure.units},
                    {"value", measure.value},
                    {"better", better},
                    {"definition", measure.definition}};
        if (measure.certainty) {
            one["half_width"] = measure.certainty->half_width;
            one["confidence"] = measure.certainty->confidence;
            one["batches"] = measure.certainty->batches;
            one["cycles_per_batch"] = measure.certainty->cycles_per_batch;
        }
        out.push_back(std::move(one));
    }
    return out;
}

std::string json_dump(const Json& json) {
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace damper
