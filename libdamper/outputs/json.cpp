// SPDX-License-Identifier: MIT
#include "libdamper/outputs/json.hpp"

#include "libdamper/outputs/json_parts.hpp"

#include <cmath>
#include <nlohmann/json.hpp>
#include <utility>

namespace damper {
namespace {

using Json = nlohmann::ordered_json;

Json bands_json(const std::vector<BandResult>& bands) {
    Json out = Json::array();
    for (const auto& band : bands) {
        out.push_back({{"measure", band.measure},
                       {"units", band.units},
                       {"low", band.low},
                       {"high", band.high},
                       {"value", band.value},
                       {"within", band.within},
                       {"source", band.source}});
    }
    return out;
}

Json stages_json(const std::vector<StageUse>& stages) {
    Json out = Json::array();
    for (const auto& use : stages) {
        out.push_back({{"stage", use.stage}, {"share", use.share}, {"entries_per_s", use.entries}});
    }
    return out;
}

Json impacts_json(const std::vector<GearImpacts>& impacts) {
    Json out = Json::array();
    for (const auto& gear : impacts) {
        out.push_back({{"element", gear.element},
                       {"rate_per_s", gear.rate},
                       {"energy_rate_w", gear.energy_rate},
                       {"impulse_mean_n_m_s", gear.impulse_mean},
                       {"closing_speed_rms_rad_per_s", gear.closing_speed_rms},
                       {"closing_speed_max_rad_per_s", gear.closing_speed_max},
                       {"threshold_ratio", gear.threshold_ratio}});
    }
    return out;
}

Json energy_json(const EnergyBook& book) {
    return {{"residual", book.residual()},
            {"unbalanced_j", book.unbalanced()},
            {"turnover_j", book.turnover()}};
}

Json start_json(const StartReport& start) {
    Json out = {{"asked", start.asked}, {"periodic", start.periodic}};
    if (start.asked != "periodic") return out;
    out["cycles_run"] = start.cycles_run;
    if (!start.periodic) {
        out["why_not"] = start.why_not;
        return out;
    }
    out["period_cycles"] = start.cycles;
    out["period_s"] = start.period;
    out["multiplier"] = start.multiplier;
    out["multiplier_of_mean_speed"] = start.mean_speed;
    out["next_multiplier"] = start.next_multiplier;
    out["edge"] = start.edge;
    return out;
}

Json stop_json(const StopReport& stop) {
    Json out = {{"reason", stop.reason}, {"cycles", stop.cycles}};
    if (stop.share == 0.0) return out;
    out["share"] = stop.share;
    // An interval that does not exist is no number.
    out["share_reached"] =
        std::isfinite(stop.share_reached) ? Json(stop.share_reached) : Json(nullptr);
    out["longest_s"] = stop.longest;
    return out;
}

Json course_json(const SpeedCourse& course) {
    if (course.speed.empty()) return nullptr;
    return {{"order", course.order},
            {"speed_rad_s", course.speed},
            {"flywheel_acceleration_rad_s2", course.flywheel_acceleration},
            {"input_shaft_acceleration_rad_s2", course.input_shaft_acceleration},
            {"drive_shaft_torque_N_m", course.drive_shaft_torque}};
}

Json solver_json(const SolverReport& solver) {
    return {{"method", solver.method},
            {"tolerance", solver.tolerance},
            {"end_time_s", solver.end_time},
            {"steps", solver.steps},
            {"rejected", solver.rejected},
            {"evaluations", solver.evaluations},
            {"mode_changes", solver.mode_changes},
            {"smallest_step_s", solver.smallest_step},
            {"complete", solver.complete},
            {"start", start_json(solver.start)},
            {"stop", stop_json(solver.stop)},
            {"warnings", solver.warnings}};
}

}  // namespace

std::string json_text(const RunRecord& record) {
    const Json out = {{"format", "damper run"},
                      {"format_version", 1},
                      {"run", run_json(record.identity)},
                      {"verdict", verdict_json(record.verdict)},
                      {"bands", bands_json(record.verdict.bands)},
                      {"measures", measures_json(record.measures)},
                      {"measured_from_s", record.measured_from},
                      {"stage_use", stages_json(record.stage_use)},
                      {"gear_impacts", impacts_json(record.gear_impacts)},
                      {"course", course_json(record.course)},
                      {"energy", energy_json(record.energy)},
                      {"solver", solver_json(record.solver)}};
    // Names from files may hold anything: bytes that are not UTF-8 become U+FFFD.
    return out.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

}  // namespace damper
