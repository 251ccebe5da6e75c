// SPDX-License-Identifier: MIT
#include "libdamper/outputs/diagnosis_parts_words.hpp"
#include "libdamper/outputs/diagnosis_text.hpp"
#include "libdamper/outputs/diagnosis_words.hpp"
#include "libdamper/outputs/grade_text.hpp"
#include "libdamper/outputs/repair_words.hpp"

#include <nlohmann/json.hpp>

namespace damper {

namespace {

using Json = nlohmann::ordered_json;

Json causes(const DiagnosisRecord& record) {
    Json out = Json::array();
    for (const DiagnosisCause& cause : record.causes) {
        Json evidence = Json::array();
        for (const DiagnosisEvidence& one : cause.evidence) {
            evidence.push_back(
                {{"name", one.name}, {"answer", one.answer}, {"weight", one.weight}});
        }
        out.push_back({{"name", cause.name},
                       {"title", cause.title},
                       {"seat", cause.seat},
                       {"of_clutch", cause.is_of_clutch},
                       {"simulated", cause.is_simulated},
                       {"prior", cause.prior},
                       {"probability", cause.probability},
                       {"evidence", std::move(evidence)},
                       {"look", cause.look},
                       {"mend", cause.mend},
                       {"beware", cause.beware},
                       {"middle", cause.middle},
                       {"low", cause.low},
                       {"high", cause.high}});
    }
    return out;
}

Json figures(const DiagnosisRecord& record) {
    Json out = Json::array();
    for (const DiagnosisFigure& one : record.figures) {
        Json figure = {{"name", one.name},
                       {"units", one.units},
                       {"definition", one.definition},
                       {"shown_by", one.shown_by}};
        if (one.seen) {
            figure["seen"] = *one.seen;
            figure["error"] = one.error;
            figure["from"] = one.from;
        }
        figure["sound"] = one.healthy;
        figure["sound_low"] = one.healthy_low;
        figure["sound_high"] = one.healthy_high;
        out.push_back(std::move(figure));
    }
    return out;
}

Json tests(const DiagnosisRecord& record) {
    Json out = Json::array();
    for (const DiagnosisTest& one : record.tests) {
        Json outcomes = Json::array();
        for (const DiagnosisTest::Outcome& outcome : one.outcomes) {
            outcomes.push_back({{"says", outcome.says},
                                {"chance", outcome.chance},
                                {"leads", outcome.leads},
                                {"probability", outcome.probability}});
        }
        Json measured = Json::array();
        for (const std::size_t f : one.figures) measured.push_back(record.figures[f].name);
        out.push_back({{"name", one.name},
                       {"asks", one.asks},
                       {"figures", std::move(measured)},
                       {"kind", one.kind},
                       {"minutes", one.minutes},
                       {"gearbox_off", one.needs_gearbox_off()},
                       {"bits", one.bits},
                       {"settles", share_settled(record, one)},
                       {"how", one.how},
                       {"steps", one.steps},
                       {"caution", one.caution},
                       {"outcomes", std::move(outcomes)}});
    }
    return out;
}

Json causes_ruled_out(const DiagnosisRecord& record) {
    Json out = Json::array();
    for (const RuledOut& one : ruled_out(record)) {
        out.push_back({{"name", one.cause->name}, {"by", one.by}});
    }
    return out;
}

Json repaired(const RepairRecord& repair, const DiagnosisRecord& found) {
    Json out;
    out["done"] = repair.done;
    out["complaint"] = repair.complaint;
    out["renewed"] = repair.renewed;
    out["verdict"] = repair_verdict_word(repair.verdict);
    out["headline"] = repair_headline(repair, found);
    out["cured"] = repair.cured;
    out["cured_unmeasured"] = repair.cured_unmeasured;
    out["causes"] = causes(repair.state);
    out["figures"] = figures(repair.state);
    out["not_repeated"] = repair.not_repeated;
    out["tests"] = tests(repair.state);
    out["notes"] = repair.state.notes_on_data;
    return out;
}

}  // namespace

std::string diagnosis_json(const DiagnosisRecord& record,
                           const std::optional<RepairRecord>& repair) {
    Json json;
    json["format"] = "damper diagnosis";
    json["format_version"] = 1;
    json["program_version"] = record.identity.program_version;
    json["title"] = record.title;
    json["origin"] = record.origin;
    json["symptom"] = record.symptom;
    json["vehicle"] = record.vehicle;
    json["class"] = record.vehicle_class;
    json["headline"] = diagnosis_headline(record);
    json["estimate"] = diagnosis_estimate(record);
    json["clutch_probability"] = record.clutch_probability;
    json["causes"] = causes(record);
    json["ruled_out"] = causes_ruled_out(record);
    json["figures"] = figures(record);
    json["as_sound"] = record.as_sound;
    json["run"] = record.run;
    json["vehicles"] = record.vehicles;
    json["open_bits"] = record.open_bits;
    json["tests"] = tests(record);
    json["parts"] = parts_words(record);
    json["before_assembly"] = before_assembly(record);
    Json options = Json::array();
    for (const DiagnosisOption& one : record.options) {
        Json option = {{"disc", one.disc},
                       {"title", one.title},
                       {"fitted", one.fitted},
                       {"grade", grade_key(one.grade)},
                       {"grade_in_run", grade_key(one.in_run)},
                       {"helps", one.helps},
                       {"spoils", one.spoils},
                       {"better", one.better},
                       {"worse", one.worse}};
        if (one.with_cause) option["grade_with_cause"] = grade_key(*one.with_cause);
        options.push_back(std::move(option));
    }
    json["discs"] = std::move(options);
    json["disc_runs"] = record.disc_runs;
    json["disc_commands"] = record.disc_commands;
    json["disc_advice"] = disc_words(record);
    if (repair) json["repair"] = repaired(*repair, record);
    json["left_out"] = record.left_out;
    json["notes"] = record.notes_on_data;
    json["cautions"] = diagnosis_cautions();
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace damper
