// SPDX-License-Identifier: MIT
#include "libdamper/outputs/grade_text.hpp"
#include "libdamper/outputs/json_parts.hpp"
#include "libdamper/outputs/table_text.hpp"
#include "libdamper/outputs/tune_rows.hpp"
#include "libdamper/outputs/tune_text.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <string_view>

namespace damper {

namespace {

using Json = nlohmann::ordered_json;

std::string_view end_name(TuneCandidate::End end) {
    switch (end) {
        case TuneCandidate::End::done:
            return "done";
        case TuneCandidate::End::cut:
            return "cut";
        case TuneCandidate::End::packing:
            return "packaging";
        case TuneCandidate::End::refused:
            return "refused";
        case TuneCandidate::End::broken:
            return "broken";
    }
    return "";
}

/// RFC 4180: in quotes where it must be.
std::string cell(const std::string& text) {
    if (text.find_first_of(",\"\n\r") == std::string::npos) return text;
    std::string out(1, '"');
    for (const char c : text) {
        if (c == '"') out.push_back('"');
        out.push_back(c);
    }
    out.push_back('"');
    return out;
}

std::string number(double value) {
    return std::isfinite(value) ? fmt::format("{:.9g}", value) : "";
}

bool on_front(const TuneRecord& record, std::size_t candidate) {
    return std::ranges::find(record.front, candidate) != record.front.end();
}

Json figure_json(const TuneRecord& record, const TuneFigure& one) {
    const Judgement& limit = record.measures[one.measure];
    return {{"measure", limit.measure}, {"units", limit.units}, {"value", one.value},
            {"good", limit.good},       {"bad", limit.bad},     {"grade", grade_key(one.grade)},
            {"margin", one.margin},     {"aside", one.aside}};
}

Json candidate_json(const TuneRecord& record, std::size_t index) {
    const TuneCandidate& one = record.candidates[index];
    Json cases = Json::array();
    for (const auto& figures : one.cases) {
        Json list = Json::array();
        for (const TuneFigure& figure : figures) list.push_back(figure_json(record, figure));
        cases.push_back(std::move(list));
    }
    Json out = {{"number", index},
                {"origin", one.origin},
                {"end", end_name(one.end)},
                {"values", one.values},
                {"figures", std::move(cases)}};
    if (!one.message.empty()) out["message"] = one.message;
    return out;
}

Json changes_json(const std::vector<std::pair<std::string, std::string>>& changes) {
    Json out = Json::array();
    for (const auto& [key, value] : changes) out.push_back({{"key", key}, {"value", value}});
    return out;
}

}  // namespace

std::string tune_json(const TuneRecord& record) {
    Json keys = Json::array(), limits = Json::array(), cases = Json::array(),
         candidates = Json::array(), conditions = Json::array(), unreached = Json::array();
    for (const TuneKeyRecord& one : record.keys) {
        keys.push_back({{"key", one.key.key},
                        {"units", one.key.units},
                        {"multiplies", one.key.multiplies},
                        {"low", one.low},
                        {"high", one.high},
                        {"fitted", one.fitted},
                        {"follower", one.follower},
                        {"why", one.why}});
    }
    for (const TuneLimit& one : record.limits) {
        limits.push_back({{"what", one.what},
                          {"units", one.units},
                          {one.at_most ? "at_most" : "at_least", one.limit},
                          {"fitted", one.fitted},
                          {"tuned", one.tuned},
                          {"source", one.source}});
    }
    for (std::size_t c = 0; c < record.cases.size(); ++c) {
        const TuneCase& one = record.cases[c];
        cases.push_back({{"scenario", record.scenarios[one.scenario].name},
                         {"condition", record.conditions[one.condition].name}});
    }
    for (const CompareCondition& one : record.conditions) {
        conditions.push_back({{"name", one.name}, {"changes", changes_json(one.changes)}});
    }
    for (const OutOfReach& one : record.out_of_reach) {
        unreached.push_back({{"case", tune_case_name(record, one.of_case)},
                             {"measure", record.measures[one.measure].measure},
                             {"nearest", one.best},
                             {"fitted", one.fitted},
                             {"bad", record.measures[one.measure].bad}});
    }
    for (std::size_t i = 0; i < record.candidates.size(); ++i) {
        candidates.push_back(candidate_json(record, i));
    }
    return json_dump({{"format", "damper tune"},
                      {"format_version", 1},
                      {"run", run_json(record.identity)},
                      {"result", tune_headline(record)},
                      {"notes", tune_notes(record)},
                      {"search", tune_search_words(record)},
                      {"stopped", record.stopped},
                      {"method", record.method},
                      {"seed", record.seed},
                      {"planned", record.planned},
                      {"left_out", record.left_out},
                      {"keys", std::move(keys)},
                      {"limits", std::move(limits)},
                      {"conditions", std::move(conditions)},
                      {"cases", std::move(cases)},
                      {"objectives", {record.objectives[0].name, record.objectives[1].name}},
                      {"out_of_reach", std::move(unreached)},
                      {"best", record.best},
                      {"changes", changes_json(record.changes)},
                      {"front", record.front},
                      {"candidates", std::move(candidates)}});
}

std::string tune_csv(const TuneRecord& record) {
    std::string out = "candidate,origin,end,best,front";
    for (const TuneKeyRecord& one : record.keys) {
        const std::string units = heading_units(one.key.units);
        const bool plain = units.empty() || units == "1";
        out.append(1, ',').append(cell(plain ? one.key.key : one.key.key + "_" + units));
    }
    for (std::size_t c = 0; c < record.cases.size(); ++c) {
        const std::string name = tune_case_name(record, c);
        for (const char* what : {"grade", "margin", "measure"}) {
            out.append(1, ',').append(cell(fmt::format("{} {}", name, what)));
        }
    }
    out += ",message\n";
    for (std::size_t i = 0; i < record.candidates.size(); ++i) {
        const TuneCandidate& one = record.candidates[i];
        out += fmt::format("{},{},{},{},{}", i, one.origin, end_name(one.end),
                           i == record.best ? 1 : 0, on_front(record, i) ? 1 : 0);
        for (const double value : one.values) out.append(1, ',').append(number(value));
        for (std::size_t c = 0; c < record.cases.size(); ++c) {
            TuneObjective all{"", {}};
            for (std::size_t m = 0; m < record.measures.size(); ++m) {
                all.parts.emplace_back(c, static_cast<int>(m));
            }
            const TuneWorst worst = tune_worst(one, &all);
            if (worst.figure == nullptr) {
                out += ",,,";
            } else {
                out += fmt::format(",{},{},{}", grade_key(worst.figure->grade),
                                   number(worst.figure->margin),
                                   record.measures[worst.figure->measure].measure);
            }
        }
        out.append(1, ',').append(cell(one.message)).append(1, '\n');
    }
    return out;
}

}  // namespace damper
