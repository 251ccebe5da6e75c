// SPDX-License-Identifier: MIT
#include "libdamper/outputs/match_text.hpp"
#include "libdamper/outputs/match_words.hpp"

#include <nlohmann/json.hpp>

namespace damper {

std::string match_json(const MatchRecord& record) {
    using Json = nlohmann::ordered_json;
    Json values = Json::array(), figures = Json::array(), ties = Json::array(),
         further = Json::array(), changes = Json::object();
    for (const MatchValue& one : record.values) {
        Json value = {{"name", one.name},
                      {"units", one.units},
                      {"multiplies", one.multiplies},
                      {"range", {one.range_low, one.range_high}},
                      {"value", one.value}};
        if (record.complete) {
            value["low"] = one.low;
            value["high"] = one.high;
            value["known"] = one.known();
        }
        values.push_back(std::move(value));
    }
    for (const MatchFigure& one : record.figures) {
        if (!one.seen) continue;
        figures.push_back({{"name", one.name},
                           {"units", one.units},
                           {"seen", *one.seen},
                           {"error", one.error},
                           {"scatter", one.scatter},
                           {"from", one.from},
                           {"described", one.described},
                           {"matched", one.matched},
                           {"off", one.off}});
    }
    for (const MatchTie& tie : record.ties) {
        Json parts = Json::array();
        for (const MatchTie::Part& part : tie.parts) {
            parts.push_back({{"name", record.values[part.value].name},
                             {"share", part.share},
                             {"from", part.from},
                             {"to", part.to}});
        }
        ties.push_back(std::move(parts));
    }
    for (const MatchFurther& one : record.further) {
        further.push_back({{"measure", one.measure},
                           {"units", one.units},
                           {"error", one.error},
                           {"helps", record.values[one.value].name},
                           {"times_sharper", one.from / one.to}});
    }
    for (const auto& [key, value] : record.changes) changes[key] = value;
    Json json;
    json["format"] = "damper match";
    json["format_version"] = 1;
    json["program_version"] = record.identity.program_version;
    json["title"] = record.identity.title;
    json["origin"] = record.identity.origin;
    json["vehicle"] = record.identity.vehicle;
    json["run"] = record.run;
    json["complete"] = record.complete;
    json["explained"] = record.complete && record.explained();
    json["headline"] = match_headline(record);
    json["chi_square"] = record.chi_square;
    json["chi_square_described"] = record.chi_square_described;
    json["freedom"] = record.freedom;
    json["chance"] = record.chance;
    json["values"] = std::move(values);
    json["not_told"] = std::move(ties);
    json["not_told_words"] = match_ties(record);
    json["further"] = std::move(further);
    json["figures"] = std::move(figures);
    json["change"] = std::move(changes);
    json["runs"] = record.evaluations;
    json["notes"] = record.notes;
    json["cautions"] = match_cautions(record);
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace damper
