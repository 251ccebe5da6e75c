// SPDX-License-Identifier: MIT
#include "tools/bench/engine/answers.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/describe/read_cause.hpp"
#include "libdamper/describe/write_disc.hpp"
#include "libdamper/measures/known_measures.hpp"
#include "libdamper/outputs/grade_text.hpp"
#include "libdamper/outputs/json.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/thin.hpp"
#include "libdamper/parts/check.hpp"
#include "libdamper/studies/run_one.hpp"

#include <algorithm>
#include <filesystem>
#include <numbers>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace damper::bench {

namespace {

using Json = nlohmann::ordered_json;

constexpr double degrees = 180.0 / std::numbers::pi;
constexpr std::size_t strokes = 300;  // a curve on the page is some 600 pixels wide

Scenario scenario_of(const Json& asked) {
    ReadOptions options{.models = "models", .changes = {}, .measures = known_measures()};
    const auto cause = asked.value("cause", std::string());
    if (!cause.empty()) {
        add_cause(read_cause("models/causes/" + cause + ".toml"), options);
    }
    for (const Json& change : asked.value("changes", Json::array())) {
        options.changes.emplace_back(change.at(0).get<std::string>(),
                                     change.at(1).get<std::string>());
    }
    const auto name = asked.at("scenario").get<std::string>();
    return read_scenario("scenarios/" + name + ".toml", options);
}

Json scaled(std::span<const double> values, double factor) {
    Json out = Json::array();
    for (const double value : values) out.push_back(factor * value);
    return out;
}

Json loop_json(const DiscLoop& loop) {
    Json corners = Json::array();
    for (const auto& corner : loop.corners) {
        corners.push_back({{"name", corner.name},
                           {"twist_deg", degrees * corner.twist},
                           {"torque_N_m", corner.torque}});
    }
    return {{"twist_deg", scaled(loop.twist, degrees)},
            {"rising_N_m", loop.upward},
            {"falling_N_m", loop.downward},
            {"corners", std::move(corners)}};
}

/// Where the disc works once the run has settled, and its last few swings on the loop.
Json range_json(const RunRecord& record) {
    const auto twist = record.signals.from("disc_twist", record.measured_from);
    const auto torque = record.signals.from("disc_torque", record.measured_from);
    if (twist.empty()) return nullptr;
    const auto [low, high] = std::minmax_element(twist.begin(), twist.end());
    double sum = 0.0;
    for (const double one : twist) sum += one;
    const bool stands = !record.spectra.empty();
    constexpr double last = 0.3;  // s: two engine cycles at idle
    const auto kept = static_cast<std::size_t>(last / record.signals.step());
    const std::size_t from = stands && twist.size() > kept ? twist.size() - kept : 0;
    const std::size_t stride = std::max<std::size_t>(1, (twist.size() - from) / (2 * strokes));
    Json path_twist = Json::array();
    Json path_torque = Json::array();
    for (std::size_t i = from; i < twist.size(); i += stride) {
        path_twist.push_back(degrees * twist[i]);
        path_torque.push_back(torque[i]);
    }
    return {{"low_deg", degrees * *low},
            {"high_deg", degrees * *high},
            {"mean_deg", degrees * sum / static_cast<double>(twist.size())},
            {"twist_deg", std::move(path_twist)},
            {"torque_N_m", std::move(path_torque)}};
}

Json curve_json(const RunRecord& record, const char* name) {
    if (!record.signals.has(name)) return nullptr;
    const Signal& signal = record.signals.at(name);
    const Shown shown = shown_as(signal.units);
    const Thinned thinned = thin(record.signals.time, signal.values, strokes);
    return {{"title", signal.long_name},
            {"units", shown.units},
            {"x", thinned.x},
            {"y", scaled(thinned.y, shown.factor)}};
}

Json orders_json(const RunRecord& record) {
    Json out = Json::array();
    for (const OrderSpectrum& spectrum : record.spectra) {
        out.push_back({{"signal", spectrum.signal},
                       {"units", shown_as(spectrum.units).units},
                       {"order", spectrum.order},
                       {"amplitude", scaled(spectrum.amplitude, shown_as(spectrum.units).factor)}});
    }
    return out;
}

Json course_json(const SpeedCourse& course) {
    if (course.speed.empty()) return nullptr;
    return {{"order", course.order},
            {"speed_rpm", scaled(course.speed, shown_as("rad/s").factor)},
            {"flywheel", course.flywheel_acceleration},
            {"input_shaft", course.input_shaft_acceleration}};
}

/// Words and numbers as the report page has them.
Json shown_json(const RunRecord& record, const Scenario& scenario) {
    std::vector<std::string> reasons = record.verdict.reasons;
    // The last one tells that bands are left out of a changed scenario; the page shows no bands.
    if (scenario.changed_from_outside && !scenario.bands.empty() && !reasons.empty()) {
        reasons.pop_back();
    }
    Json judgements = Json::array();
    for (const Judgement& judgement : record.verdict.judgements) {
        const Shown shown =
            measure_shown_as(judgement.measure, judgement.units, magnitude(judgement));
        judgements.push_back(
            {{"judged",
              judgement.sentence.empty() ? key_text(judgement.measure) : judgement.sentence},
             {"measure", judgement.measure},
             {"name", key_text(judgement.measure)},
             {"grade", grade_key(judgement.grade)},
             {"word", grade_word(judgement.grade)},
             {"value", with_units(table_number(shown.of(judgement.value), shown.of(judgement.good)),
                                  shown.units)},
             {"limit", limit_text(judgement)},
             {"margin", margin_text(judgement.margin)},
             {"source", judgement.source}});
    }
    Json measures = Json::array();
    for (const MeasureValue& measure : record.measures) {
        const Shown shown = measure_shown_as(measure.name, measure.units, std::abs(measure.value));
        measures.push_back(
            {{"measure", measure.name},
             {"name", key_text(measure.name)},
             {"value", with_units(table_number(shown.of(measure.value)), shown.units)},
             {"definition", measure.definition}});
    }
    return {{"word", grade_word(record.verdict.grade)},
            {"meaning", grade_meaning(record.verdict.grade)},
            {"reasons", std::move(reasons)},
            {"judgements", std::move(judgements)},
            {"measures", std::move(measures)}};
}

}  // namespace

Json answer_disc(const Json& asked) {
    const Scenario scenario = scenario_of(asked);
    const Disc& disc = scenario.vehicle.disc;
    Json stages = Json::array();
    for (const DiscStage& stage : disc.stages) {
        const double coast =
            stage.coast_stiffness.si() > 0.0 ? stage.coast_stiffness.si() : stage.stiffness.si();
        stages.push_back({{"name", stage.name},
                          {"stiffness", stage.stiffness.si() / degrees},
                          {"coast_stiffness", coast / degrees},
                          {"drive_end", degrees * stage.drive_end.si()},
                          {"coast_end", degrees * stage.coast_end.si()},
                          {"hysteresis", stage.hysteresis.si()}});
    }
    const auto remarks = asked.value("remarks", std::vector<std::string>());
    return {{"title", disc.title},
            {"stages", std::move(stages)},
            {"loop", loop_json(quasi_static_loop(disc))},
            {"toml", disc_toml(disc, {}, remarks)}};
}

Json answer_run(const Json& asked) {
    const Scenario scenario = scenario_of(asked);
    RunRecord record = run_one(scenario, {});
    // As the command does: what looks like a slip in the description stands first.
    std::vector<std::string> cautions = doubts(scenario.vehicle);
    for (std::string& caution : record.verdict.cautions) cautions.push_back(std::move(caution));
    record.verdict.cautions = std::move(cautions);
    return {{"run", Json::parse(json_text(record))},
            {"shown", shown_json(record, scenario)},
            {"curves",
             {{"loop", loop_json(record.disc_loop)},
              {"range", range_json(record)},
              {"orders", orders_json(record)},
              {"course", course_json(record.course)},
              {"flywheel_speed", curve_json(record, "flywheel_speed")},
              {"input_shaft_speed", curve_json(record, "input_shaft_speed")},
              {"vehicle_acceleration", curve_json(record, "vehicle_acceleration")}}}};
}

}  // namespace damper::bench
