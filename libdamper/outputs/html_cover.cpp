// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_cover.hpp"

#include "libdamper/outputs/cover_rows.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/html_still.hpp"
#include "libdamper/outputs/html_writer.hpp"

#include <algorithm>
#include <functional>
#include <limits>

namespace damper {

namespace {

constexpr double mm = 1e3;  // per m

template <class Row>
using Of = std::function<double(const Row&)>;

template <class Row>
ChartSeries along(const std::vector<Row>& rows, std::string label, int tone, Stroke stroke,
                  const Of<Row>& x, const Of<Row>& y) {
    ChartSeries series{.label = std::move(label), .stroke = stroke, .tone = tone, .x = {}, .y = {}};
    for (const Row& row : rows) {
        series.x.push_back(x(row));
        series.y.push_back(y(row));
    }
    return series;
}

ChartSeries points_of(const CoverComparison& one, double scale) {
    ChartSeries series{.label = "measured", .stroke = Stroke::dashed, .tone = 4, .x = {}, .y = {}};
    for (std::size_t i = 0; i < one.x.size(); ++i) {
        series.x.push_back(mm * one.x[i]);
        series.y.push_back(scale * one.measured[i]);
    }
    return series;
}

const CoverComparison* measured(const CoverRecord& record, std::string_view what) {
    for (const CoverComparison& one : record.comparisons) {
        if (one.what == what) return &one;
    }
    return nullptr;
}

std::string spring_section(const CoverRecord& record) {
    Chart chart = still_chart("spring", "Load of the diaphragm spring over its deflection",
                              {"Deflection", "mm"}, {"Load", "N"});
    using P = CoverSpringPoint;
    chart.series.push_back(along<P>(
        record.spring, "spring", 1, Stroke::line, [](const P& p) { return mm * p.deflection; },
        [](const P& p) { return p.load; }));
    for (const CoverState& state : record.states) {
        chart.marks.push_back({state.name, mm * state.deflection, state.clamp_load});
    }
    const auto most = std::max_element(record.spring.begin(), record.spring.end(),
                                       [](const P& a, const P& b) { return a.load < b.load; });
    chart.reading = fmt::format("It presses most, {:.0f} N, at {:.2f} mm; it is flat at {:.2f} mm.",
                                most->load, mm * most->deflection, mm * record.flat_deflection);
    return html_section(
        "spring", "The spring",
        "<p>From the clamped state wear lets the spring relax, to the left; releasing presses it "
        "on, to the right.</p>" +
            still_figure(chart));
}

std::string wear_section(const CoverRecord& record) {
    Chart chart =
        still_chart("clamp", "Clamp load over wear, tolerance as root of the sum of squares",
                    {"Wear of a face", "mm"}, {"Clamp load", "N"});
    using P = CoverWearPoint;
    const Of<P> wear = [](const P& p) { return mm * p.wear; };
    const auto add = [&](std::string label, int tone, Stroke stroke, double P::*member) {
        chart.series.push_back(along<P>(record.wear, std::move(label), tone, stroke, wear,
                                        [member](const P& p) { return p.*member; }));
    };
    add("clamp load", 1, Stroke::line, &P::clamp_load);
    add("tolerance", 3, Stroke::dashed, &P::root_sum_low);
    // The upper edge of the band under the same name, with the pen up between them.
    ChartSeries& band = chart.series.back();
    band.x.push_back(std::numeric_limits<double>::quiet_NaN());
    band.y.push_back(std::numeric_limits<double>::quiet_NaN());
    for (const P& point : record.wear) {
        band.x.push_back(wear(point));
        band.y.push_back(point.root_sum_high);
    }
    const double most = mm * record.wear.back().wear;
    const double needed =
        record.states.front().clamp_load * record.torque / record.states.front().capacity;
    chart.series.push_back({.label = "needed, warm",
                            .stroke = Stroke::heavy,
                            .tone = 2,
                            .x = {0.0, most},
                            .y = {needed, needed}});
    chart.marks.push_back(
        {"allowance", mm * record.wear_allowance, record.states.back().clamp_load});
    if (const CoverComparison* one = measured(record, "clamp load")) {
        // Measured over the way of the plate; drawn over the wear of a face.
        ChartSeries series = points_of(*one, 1.0);
        const double span = record.states.front().deflection - record.states.back().deflection;
        const double share = span > 0.0 ? record.wear_allowance / span : 1.0;
        for (double& x : series.x) x *= share;
        chart.series.push_back(std::move(series));
    }
    chart.reading = fmt::format(
        "From {:.0f} N new to {:.0f} N worn; {:.0f} N are needed to hold the torque warm.",
        record.states.front().clamp_load, record.states.back().clamp_load, needed);
    Chart factor = still_chart("factor", "Torque held over the torque asked for",
                               {"Wear of a face", "mm"}, {"Factor", ""});
    const auto ratio = [&](std::string label, int tone, double P::*member) {
        factor.series.push_back(
            along<P>(record.wear, std::move(label), tone, Stroke::line, wear,
                     [&record, member](const P& p) { return p.*member / record.torque; }));
    };
    ratio(fmt::format("warm, {:.0f} °C", record.warm - 273.15), 1, &P::capacity);
    ratio(fmt::format("hot, {:.0f} °C", record.hot - 273.15), 4, &P::capacity_hot);
    factor.reading = fmt::format("Warm from {:.2f} new to {:.2f} worn; below 1 the clutch slips.",
                                 record.states.front().capacity / record.torque,
                                 record.states.back().capacity / record.torque);
    factor.series.push_back({.label = "slips below",
                             .stroke = Stroke::heavy,
                             .tone = 2,
                             .x = {0.0, most},
                             .y = {1.0, 1.0}});
    return html_section("wear", "Clamp load and torque over wear",
                        still_figure(chart) + still_figure(factor) +
                            still_table(wear_table(record)) +
                            still_table(temperature_table(record)));
}

std::string release_section(const CoverRecord& record) {
    Chart load = still_chart("release", "Load on the release bearing", {"Bearing travel", "mm"},
                             {"Load", "N"});
    Chart lift =
        still_chart("lift", "Lift of the pressure plate", {"Bearing travel", "mm"}, {"Lift", "mm"});
    Chart torque = still_chart("bite", "Torque that is held while the bearing moves",
                               {"Bearing travel", "mm"}, {"Torque", "N m"});
    using P = CoverReleasePoint;
    const Of<P> travel = [](const P& p) { return mm * p.travel; };
    int tone = 1;
    for (const CoverReleaseCurve& curve : record.release_curves) {
        const Stroke stroke = curve.state == "new" ? Stroke::line : Stroke::dashed;
        const auto add = [&](Chart& chart, const Of<P>& value) {
            chart.series.push_back(
                along<P>(curve.points, curve.state, tone, stroke, travel, value));
        };
        add(load, [](const P& p) { return p.bearing_load; });
        add(lift, [](const P& p) { return mm * p.lift; });
        add(torque, [](const P& p) { return p.capacity; });
        tone = tone == 1 ? 3 : 4;
    }
    lift.series.push_back({.label = "needed to turn freely",
                           .stroke = Stroke::heavy,
                           .tone = 2,
                           .x = {0.0, 1.15 * mm * record.travel},
                           .y = {mm * record.needed_lift, mm * record.needed_lift}});
    for (const CoverState& state : record.states) {
        if (state.name != "new") continue;
        load.marks.push_back({"full travel", mm * record.travel, state.bearing_load});
        lift.marks.push_back({"full travel", mm * record.travel, mm * state.lift});
    }
    const CoverState& fresh = record.states.front();
    load.reading = fmt::format(
        "New {:.0f} N at most and {:.0f} N at full travel, worn {:.0f} N at "
        "most.",
        fresh.largest_bearing_load, fresh.bearing_load, record.states.back().largest_bearing_load);
    lift.reading = fmt::format("{:.2f} mm at full travel; {:.2f} mm are needed.", mm * fresh.lift,
                               mm * record.needed_lift);
    torque.reading = fmt::format(
        "From {:.0f} N m to nothing at {:.2f} mm, where the plate leaves "
        "the disc.",
        fresh.capacity, mm * fresh.free_travel);
    if (const auto* one = measured(record, "release load")) {
        load.series.push_back(points_of(*one, 1.0));
    }
    if (const auto* one = measured(record, "plate lift"))
        lift.series.push_back(points_of(*one, mm));
    return html_section("release", "Release",
                        still_figure(load) + still_figure(lift) + still_figure(torque) +
                            still_table(travel_table(record)));
}

std::string measured_section(const CoverRecord& record) {
    if (record.comparisons.empty()) return "";
    std::string body;
    for (const CoverComparison& one : record.comparisons) {
        put(body, "<p>{}</p>", html_escape(comparison_words(one)));
        body += still_table(comparison_table(one));
    }
    return html_section("measured", "Measured against computed", body);
}

}  // namespace

std::string html_cover(const CoverRecord& record) {
    std::vector<Fact> facts = {{"Vehicle", record.identity.vehicle},
                               {"Cover", record.cover},
                               {"Facings", record.facing},
                               {"Build", cover_words(record)},
                               {"Torque to be held", fmt::format("{:.0f} N m", record.torque)}};
    if (record.pedal_force > 0.0) {
        facts.push_back(
            {"Force at the pedal, at most", fmt::format("{:.0f} N", record.pedal_force)});
    }
    std::string out = still_page_head("Clamp, wear and release", record.identity, facts);
    out += verdict_sections(record.verdict, "");
    out += html_section("states", "New and worn", still_table(state_table(record)));
    out += wear_section(record) + release_section(record) + spring_section(record);
    out += measured_section(record);
    out += html_section("faults", "What a fault alone would make of it",
                        still_table(case_table(record)));
    return out + still_page_end(record.identity);
}

}  // namespace damper
