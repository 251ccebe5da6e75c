// SPDX-License-Identifier: MIT
#include "libdamper/outputs/terminal.hpp"

#include "libdamper/outputs/grade_text.hpp"
#include "libdamper/outputs/html_run.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/run_text.hpp"
#include "libdamper/outputs/text_layout.hpp"
#include "libdamper/outputs/verdict_text.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace damper {
namespace {

constexpr std::size_t width = text_width;

void put_heading(std::string& out, const RunRecord& record) {
    const RunIdentity& identity = record.identity;
    out += wrapped(identity.title, width);
    for (const auto& change : change_texts(identity)) out += wrapped(change, width, "  * ");
    std::string line = identity.vehicle;
    for (const std::string& more : {identity.disc, identity.manoeuvre}) {
        if (!more.empty()) line += fmt::format("{}{}", line.empty() ? "" : " · ", more);
    }
    for (const auto& [name, value] : identity.conditions)
        line += fmt::format(" · {} {}", name, value);
    out += wrapped(line, width, "  ");
    out += "\n";
    out += headline_text(record.verdict);
    if (!record.solver.complete) {
        out += wrapped(fmt::format("Unfinished: the calculation stopped at {} s; the figures cover "
                                   "the run up to there only.",
                                   number_text(record.solver.end_time)),
                       width, "! ");
    }
}

void put_bands(std::string& out, const Verdict& verdict) {
    if (verdict.bands.empty()) return;
    NumberedSources sources;
    std::vector<std::vector<std::string>> rows;
    for (const auto& band : verdict.bands) {
        const Shown shown = measure_shown_as(band.measure, band.units, magnitude(band));
        const auto number = [&](double value) {
            return table_number(value * shown.factor, band.high * shown.factor);
        };
        rows.push_back({band.within ? "inside" : "OUTSIDE", key_text(band.measure),
                        number(band.value), number(band.low), number(band.high), shown.units,
                        sources.point_at(band.source)});
    }
    out += "\nExpected by the scenario's author\n";
    out += text_table({{"Result", false, 7},
                       {"Measure", false, 35},
                       {"Value", true, 8},
                       {"From", true, 8},
                       {"To", true, 8},
                       {"Unit", false, 10},
                       {"Src", false, 4}},
                      rows);
    out += sources.list();
}

void put_stages(std::string& out, const RunRecord& record) {
    if (record.stage_use.empty()) return;
    std::vector<std::vector<std::string>> rows;
    for (const auto& use : record.stage_use) {
        rows.push_back({use.stage, percent_text(use.share), number_text(use.entries)});
    }
    out += "\nTime in each damper stage\n";
    out += text_table({{"Stage", false, 40}, {"Share", true, 10}, {"Entered per second", true, 20}},
                      rows);
}

void put_impacts(std::string& out, const RunRecord& record) {
    if (record.gear_impacts.empty()) return;
    double most = 0.0;
    for (const auto& gear : record.gear_impacts) most = std::max(most, gear.energy_rate);
    const Shown power = shown_as("W", most);
    std::vector<std::vector<std::string>> rows;
    for (const auto& gear : record.gear_impacts) {
        rows.push_back({gear.element, table_number(gear.rate),
                        table_number(gear.energy_rate * power.factor, most * power.factor),
                        table_number(gear.closing_speed_rms), table_number(gear.closing_speed_max),
                        gear.threshold_ratio == 0.0 ? "-" : table_number(gear.threshold_ratio)});
    }
    out +=
        "\nImpacts at each gear (closing speed in rad/s; threshold ratio above 1: can lift off)\n";
    out += text_table({{"Gear", false, 36},
                       {"Per second", true, 10},
                       {fmt::format("Energy/{}", power.units), true, 10},
                       {"Speed rms", true, 9},
                       {"Largest", true, 9},
                       {"Threshold", true, 9}},
                      rows);
    for (const MeasureValue& measure : record.measures) {
        if (!measure.certainty) continue;
        out += wrapped(fmt::format("{}: {}", key_text(measure.name), value_text(measure)), width,
                       "  ");
    }
}

void put_calculation(std::string& out, const RunRecord& record) {
    const SolverReport& solver = record.solver;
    out += "\nCalculation\n";
    out += wrapped(
        fmt::format("energy left over: {:.2g} of the energy turned over", record.energy.residual()),
        width, "  ");
    out += wrapped(fmt::format("solver: {}, tolerance {}, {} steps, {} rejected, {} changes of "
                               "mode, reached {} s{}",
                               solver.method, number_text(solver.tolerance), solver.steps,
                               solver.rejected, solver.mode_changes, number_text(solver.end_time),
                               solver.complete ? "" : " (unfinished)"),
                   width, "  ");
    if (!start_text(solver.start).empty()) {
        out += wrapped("start: " + start_text(solver.start), width, "  ");
    }
    if (!stop_text(solver).empty()) out += wrapped("end: " + stop_text(solver), width, "  ");
    for (const auto& warning : solver.warnings) out += wrapped(warning, width, "  warning: ");
}

}  // namespace

std::string terminal_text(const RunRecord& record) {
    std::string out;
    put_heading(out, record);
    out += list_text("Why", record.verdict.reasons);
    out += judgements_text(record.verdict);
    put_bands(out, record.verdict);
    put_stages(out, record);
    put_impacts(out, record);
    put_calculation(out, record);
    out += list_text("Before you act on it", record.verdict.cautions);
    out += '\n';
    out += wrapped(estimate_notice(), width);
    return out;
}

}  // namespace damper
