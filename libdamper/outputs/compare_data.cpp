// SPDX-License-Identifier: MIT
#include "libdamper/outputs/compare_text.hpp"
#include "libdamper/outputs/compare_words.hpp"
#include "libdamper/outputs/grade_text.hpp"
#include "libdamper/outputs/json_parts.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <string_view>
#include <utility>

namespace damper {

namespace {

using Json = nlohmann::ordered_json;
using Changes = std::vector<std::pair<std::string, std::string>>;

Json changes_json(const Changes& changes) {
    Json out = Json::array();
    for (const auto& [key, value] : changes) out.push_back({{"key", key}, {"value", value}});
    return out;
}

std::string_view end_name(CompareVariant::End end) {
    switch (end) {
        case CompareVariant::End::done:
            return "done";
        case CompareVariant::End::bad_input:
            return "bad_input";
        case CompareVariant::End::unsolved:
            return "unsolved";
        case CompareVariant::End::not_reached:
            return "not_reached";
    }
    return "";
}

Json variant_json(const CompareRecord& record, const CompareVariant& one) {
    const Verdict verdict{.grade = one.grade,
                          .headline = one.headline,
                          .reasons = {},
                          .judgements = one.judgements,
                          .bands = {},
                          .cautions = {}};
    Json judged = verdict_json(verdict);
    return {{"option", record.options[one.option].name},
            {"scenario", record.scenarios[one.scenario].name},
            {"condition", record.conditions[one.condition].name},
            {"end", end_name(one.end)},
            {"message", one.message},
            {"disc", one.disc},
            {"grade", grade_key(one.grade)},
            {"headline", one.headline},
            {"judgements", std::move(judged["judgements"])},
            {"measures", measures_json(one.measures)}};
}

Json rank_json(const CompareRecord& record, const CompareRank& rank) {
    Json out = {{"option", record.options[rank.option].name},
                {"fitted", record.options[rank.option].fitted},
                {"complete", rank.complete},
                {"grade", grade_key(rank.grade)},
                {"limits_missed", rank.missed},
                {"to_watch", rank.watched},
                {"words", standing_words(record, rank)},
                {"against_fitted", trade_words(record, rank)}};
    if (!rank.findings.empty()) {
        const Judgement& worst = record.of(rank.findings.front());
        const CompareVariant& variant = record.variants[rank.findings.front().variant];
        out["worst"] = {{"measure", worst.measure},
                        {"scenario", record.scenarios[variant.scenario].name},
                        {"condition", record.conditions[variant.condition].name},
                        {"value", worst.value},
                        {"good", worst.good},
                        {"bad", worst.bad},
                        {"units", worst.units},
                        {"margin", worst.margin}};
    }
    return out;
}

/// RFC 4180: in quotes where it must be.
std::string cell(const std::string& text) {
    if (text.find_first_of(",\"\n\r") == std::string::npos) return text;
    std::string out = "\"";
    for (const char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
    return out + "\"";
}

}  // namespace

std::string compare_json(const CompareRecord& record) {
    Json options = Json::array(), scenarios = Json::array(), conditions = Json::array();
    for (const CompareOption& one : record.options) {
        options.push_back(
            {{"name", one.name}, {"fitted", one.fitted}, {"changes", changes_json(one.changes)}});
    }
    for (const CompareScenario& one : record.scenarios) {
        scenarios.push_back({{"name", one.name}, {"title", one.title}, {"vehicle", one.vehicle}});
    }
    for (const CompareCondition& one : record.conditions) {
        Json of_fitted = Json::array();
        for (const ChangeOfFitted& change : one.of_fitted) {
            of_fitted.push_back(one.changes[change.change].first);
        }
        conditions.push_back({{"name", one.name},
                              {"changes", changes_json(one.changes)},
                              {"in_fitted_disc_alone", std::move(of_fitted)}});
    }
    Json ranking = Json::array(), variants = Json::array();
    for (const CompareRank& one : record.ranking) ranking.push_back(rank_json(record, one));
    for (const CompareVariant& one : record.variants) {
        variants.push_back(variant_json(record, one));
    }
    return json_dump({{"format", "damper compare"},
                      {"format_version", 1},
                      {"run", run_json(record.identity)},
                      {"choice", choice_words(record)},
                      {"failures", failure_words(record)},
                      {"options", std::move(options)},
                      {"scenarios", std::move(scenarios)},
                      {"conditions", std::move(conditions)},
                      {"ranking", std::move(ranking)},
                      {"variants", std::move(variants)}});
}

std::string compare_csv(const CompareRecord& record) {
    std::string out = "option,scenario,condition,measure,units,value,good,bad,grade,margin\n";
    for (const CompareVariant& variant : record.variants) {
        const std::string place = fmt::format("{},{},{}", cell(record.options[variant.option].name),
                                              cell(record.scenarios[variant.scenario].name),
                                              cell(record.conditions[variant.condition].name));
        for (const MeasureValue& one : variant.measures) {
            out += fmt::format("{},{},{},{:.9g}", place, one.name, one.units, one.value);
            const auto judged =
                std::ranges::find(variant.judgements, one.name, &Judgement::measure);
            out += judged == variant.judgements.end()
                       ? ",,,,\n"
                       : fmt::format(",{:.9g},{:.9g},{},{:.9g}\n", judged->good, judged->bad,
                                     grade_key(judged->grade), judged->margin);
        }
    }
    return out;
}

}  // namespace damper
