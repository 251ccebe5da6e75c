// SPDX-License-Identifier: MIT
#include "libdamper/outputs/heat_rows.hpp"
#include "libdamper/outputs/html_cover.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/html_still.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"

#include <algorithm>

namespace damper {

namespace {

constexpr double celsius = 273.15;

std::string history_section(const HeatRecord& record) {
    if (record.history.time.empty()) return "";
    Chart chart = still_chart("history", "Bulk temperature of the plates", {"Time", "min"},
                              {"Temperature", "°C"});
    constexpr int tones[] = {1, 3, 4};
    for (std::size_t plate = 0; plate < record.plates.size(); ++plate) {
        ChartSeries series{.label = record.plates[plate],
                           .stroke = Stroke::line,
                           .tone = tones[plate % 3],
                           .x = {},
                           .y = {}};
        for (std::size_t n = 0; n < record.history.time.size(); ++n) {
            series.x.push_back(record.history.time[n] / 60.0);
            series.y.push_back(record.history.temperature[n][plate] - celsius);
        }
        chart.series.push_back(std::move(series));
    }
    double hottest = record.surroundings;
    for (const auto& all : record.history.temperature) {
        hottest = std::max(hottest, *std::max_element(all.begin(), all.end()));
    }
    chart.reading = fmt::format("The hottest plate reaches {:.0f} °C.", hottest - celsius);
    // A limit far above all curves would only flatten them.
    if (hottest > 0.6 * (record.limit - celsius) + celsius) {
        chart.series.push_back({.label = "limit",
                                .stroke = Stroke::heavy,
                                .tone = 2,
                                .x = {0.0, record.history.time.back() / 60.0},
                                .y = {record.limit - celsius, record.limit - celsius}});
    }
    return html_section("history", "Starts in a row, then cooling", still_figure(chart));
}

std::string steps_section(const HeatRecord& record) {
    std::string body = still_table(step_table(record));
    put(body, "<p>{}</p>", html_escape(heat_balance_words(record)));
    return html_section("steps", "Start by start", body);
}

}  // namespace

std::string html_heat(const HeatRecord& record) {
    const std::vector<Fact> facts = {
        {"Vehicle", record.identity.vehicle},
        {"Starts", heat_words(record)},
        {"Counted to", fmt::format("{:.0f} °C in the bulk of a plate", record.limit - celsius)},
        {"Inertia of engine and facings",
         fmt::format("{} kg m²", number_text(record.engine_inertia))},
        {"Inertia behind the clutch", fmt::format("{} kg m²", number_text(record.vehicle_inertia))},
        {"Area of all faces", fmt::format("{:.0f} cm²", 1e4 * record.facing_area)}};
    std::string out = still_page_head("Heat of starts", record.identity, facts);
    out += verdict_sections(record.verdict, "");
    out += html_section("starts", "One start", still_table(start_table(record)));
    out += history_section(record) + steps_section(record);
    return out + still_page_end(record.identity);
}

}  // namespace damper
