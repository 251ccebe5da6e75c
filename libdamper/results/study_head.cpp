// SPDX-License-Identifier: MIT
#include "libdamper/results/study_head.hpp"

#include "libdamper/base/digest.hpp"
#include "libdamper/base/error.hpp"

#include <cmath>
#include <filesystem>
#include <fmt/format.h>
#include <limits>
#include <nlohmann/json.hpp>
#include <utility>

namespace damper {

namespace {

using Json = nlohmann::ordered_json;
using Pairs = std::vector<std::pair<std::string, std::string>>;

std::string dumped(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Json key_json(const StudyKey& key) {
    return {{"key", key.key},       {"asked", key.asked},
            {"units", key.units},   {"multiplies", key.multiplies},
            {"levels", key.levels}, {"choices", key.choices}};
}

/// Files by name and bytes only: the same models may lie elsewhere on another machine.
Json model_json(const RunIdentity& identity) {
    Json inputs = Json::array();
    for (const auto& [file, hash] : identity.inputs) {
        inputs.push_back({std::filesystem::path(file).filename().string(), hash});
    }
    return {{"inputs", inputs}, {"changes", identity.changes}};
}

/// What the study hash covers, each under the name that a message gives it.
Json study_json(const StudyHead& head) {
    Json names = Json::array();
    for (const StudyMeasure& one : head.measures) names.push_back({one.name, one.units});
    Json keys = Json::array();
    for (const StudyKey& key : head.keys) keys.push_back(key_json(key));
    return {{"verb", head.verb},
            {"scenario", head.identity.scenario},
            {"program", head.identity.program_version},
            {"model files and changes", head.model_hash},
            {"solver", head.solver},
            {"design", head.design},
            {"count", head.asked},
            {"variants", head.total},
            {"seed", head.seed},
            {"keys", keys},
            {"known measures", names}};
}

Json finite_or_null(double value) {
    return std::isfinite(value) ? Json(value) : Json();
}

Json measure_json(const StudyMeasure& one) {
    return {{"name", one.name},
            {"units", one.units},
            {"definition", one.definition},
            {"better", static_cast<int>(one.better)},
            {"has_limit", one.has_limit},
            {"good", one.good},
            {"bad", one.bad},
            {"source", one.source},
            {"nominal", finite_or_null(one.nominal)}};
}

StudyMeasure measure_of(const Json& json) {
    StudyMeasure one;
    one.name = json.at("name").get<std::string>();
    one.units = json.at("units").get<std::string>();
    one.definition = json.at("definition").get<std::string>();
    const int better = json.at("better").get<int>();
    one.better = better == 0 ? Better::less : better == 1 ? Better::more : Better::neither;
    one.has_limit = json.at("has_limit").get<bool>();
    one.good = json.at("good").get<double>();
    one.bad = json.at("bad").get<double>();
    one.source = json.at("source").get<std::string>();
    one.nominal = json.at("nominal").is_null() ? std::numeric_limits<double>::quiet_NaN()
                                               : json.at("nominal").get<double>();
    return one;
}

StudyKey key_of(const Json& json) {
    StudyKey key;
    key.key = json.at("key").get<std::string>();
    key.asked = json.at("asked").get<std::string>();
    key.units = json.at("units").get<std::string>();
    key.multiplies = json.at("multiplies").get<bool>();
    key.levels = json.at("levels").get<std::vector<double>>();
    key.choices = json.at("choices").get<std::vector<std::string>>();
    return key;
}

StudyHead head_from(const Json& json) {
    StudyHead head;
    RunIdentity& who = head.identity;
    const auto text = [&](const char* name) { return json.at(name).get<std::string>(); };
    who.program_version = text("program_version");
    who.command_line = text("command_line");
    who.scenario = text("scenario");
    who.title = text("title");
    who.origin = text("origin");
    who.vehicle = text("vehicle");
    who.vehicle_class = text("vehicle_class");
    who.disc = text("disc");
    who.manoeuvre = text("manoeuvre");
    who.conditions = json.at("conditions").get<Pairs>();
    who.changes = json.at("changes").get<Pairs>();
    who.causes = json.value("causes", Pairs());
    who.inputs = json.at("inputs").get<Pairs>();
    who.created = text("created");
    who.host = text("host");
    head.verb = text("verb");
    head.design = text("design");
    head.nominal = text("nominal");
    head.solver = text("solver");
    head.asked = json.at("asked").get<std::int64_t>();
    head.total = json.at("total").get<std::int64_t>();
    head.seed = json.at("seed").get<std::int64_t>();
    for (const Json& key : json.at("keys")) head.keys.push_back(key_of(key));
    for (const Json& one : json.at("measures")) head.measures.push_back(measure_of(one));
    seal_head(head);
    if (text("study_hash") != head.study_hash) throw InputError("its hash is not that of its head");
    return head;
}

}  // namespace

void seal_head(StudyHead& head) {
    head.model_hash = sha256_hex(dumped(model_json(head.identity)));
    head.study_hash = sha256_hex(dumped(study_json(head)));
}

std::string difference_of(const StudyHead& there, const StudyHead& here) {
    if (there.study_hash == here.study_hash) return "";
    const Json a = study_json(there);
    const Json b = study_json(here);
    for (const auto& [name, value] : a.items()) {
        if (value == b.at(name)) continue;
        if (name == "keys") {
            for (std::size_t k = 0; k < std::max(there.keys.size(), here.keys.size()); ++k) {
                const auto shown = [k](const StudyHead& head) {
                    return k < head.keys.size() ? head.keys[k].key + "=" + head.keys[k].asked
                                                : std::string("none");
                };
                if (shown(there) != shown(here)) {
                    return fmt::format("keys: {} there, {} here", shown(there), shown(here));
                }
            }
        }
        if (value.is_array()) return name + " differ";
        if (name == "model files and changes") {
            return "the model: files of the scenario or its parts, --set or --cause, differ";
        }
        const auto shown = [](const Json& one) {
            return one.is_string() ? one.get<std::string>() : one.dump();
        };
        return fmt::format("{}: {} there, {} here", name, shown(value), shown(b.at(name)));
    }
    return "its hash";
}

std::string head_text(const StudyHead& head) {
    const RunIdentity& who = head.identity;
    Json json = {{"study_hash", head.study_hash},
                 {"model_hash", head.model_hash},
                 {"verb", head.verb},
                 {"design", head.design},
                 {"nominal", head.nominal},
                 {"solver", head.solver},
                 {"asked", head.asked},
                 {"total", head.total},
                 {"seed", head.seed},
                 {"program_version", who.program_version},
                 {"command_line", who.command_line},
                 {"scenario", who.scenario},
                 {"title", who.title},
                 {"origin", who.origin},
                 {"vehicle", who.vehicle},
                 {"vehicle_class", who.vehicle_class},
                 {"disc", who.disc},
                 {"manoeuvre", who.manoeuvre},
                 {"conditions", who.conditions},
                 {"changes", who.changes},
                 {"causes", who.causes},
                 {"inputs", who.inputs},
                 {"created", who.created},
                 {"host", who.host}};
    json["keys"] = Json::array();
    for (const StudyKey& key : head.keys) json["keys"].push_back(key_json(key));
    json["measures"] = Json::array();
    for (const StudyMeasure& one : head.measures) json["measures"].push_back(measure_json(one));
    return dumped(json);
}

StudyHead head_of(const std::string& text) {
    try {
        return head_from(Json::parse(text));
    } catch (const Json::exception& wrong) {
        throw InputError(fmt::format("its head cannot be read ({})", wrong.what()));
    }
}

}  // namespace damper
