// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/html_still.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/study_rows.hpp"
#include "libdamper/outputs/study_text.hpp"
#include "libdamper/outputs/svg_study_map.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace damper {

namespace {

constexpr std::size_t most_figures = 6;
constexpr std::size_t most_variants = 200;
constexpr std::size_t fewest_for_histogram = 50;
constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

std::string shown(const FigureTable& table) {
    return table.rows.empty() ? "" : still_table(table);
}

Shown shown_of(const StudyStatistic& one) {
    return measure_shown_as(one.measure, one.units,
                            std::max({std::abs(one.most), std::abs(one.least), 1e-12}));
}

/// Lines at the limits, up to `high`.
void add_limits(Chart& chart, const StudyMeasure& measure, const Shown& unit, double high) {
    if (!measure.has_limit) return;
    const auto line = [&](const char* label, double at, Stroke stroke) {
        chart.series.push_back(
            {.label = label, .stroke = stroke, .tone = 2, .x = {at, at}, .y = {0.0, high}});
    };
    line("good to", unit.of(measure.good), Stroke::dashed);
    line("bad beyond", unit.of(measure.bad), Stroke::heavy);
}

std::string histogram(const StudyRecord& record, const StudyStatistic& one) {
    const std::ptrdiff_t column = study_column(record, one.measure);
    if (column < 0 || !(one.most > one.least)) return "";
    const auto& values = record.measures[static_cast<std::size_t>(column)];
    const Shown unit = shown_of(one);
    constexpr int bins = 40;
    std::vector<double> share(bins, 0.0);
    for (const double value : values) {
        if (!std::isfinite(value)) continue;
        const int bin = static_cast<int>(bins * (value - one.least) / (one.most - one.least));
        share[static_cast<std::size_t>(std::clamp(bin, 0, bins - 1))] +=
            100.0 / static_cast<double>(one.count);
    }
    Chart chart = still_chart("histogram-" + one.measure, key_text(one.measure),
                              {key_text(one.measure), unit.units}, {"Share", "%"});
    ChartSeries outline{.label = "share", .stroke = Stroke::line, .tone = 1, .x = {}, .y = {}};
    for (int bin = 0; bin < bins; ++bin) {
        for (const int edge : {bin, bin + 1}) {
            outline.x.push_back(
                unit.of(std::lerp(one.least, one.most, static_cast<double>(edge) / bins)));
            outline.y.push_back(share[static_cast<std::size_t>(bin)]);
        }
    }
    const double high = *std::ranges::max_element(share);
    chart.series.push_back(std::move(outline));
    add_limits(chart, record.head.measures[record.present[static_cast<std::size_t>(column)]], unit,
               high);
    return still_figure(chart);
}

/// The measure over one key: mean and the middle nine tenths, by bins of equal counts.
std::string along_key(const StudyRecord& record, const StudyStatistic& one, std::size_t key) {
    const std::ptrdiff_t column = study_column(record, one.measure);
    const StudyKey& what = record.head.keys[key];
    if (column < 0 || !what.choices.empty()) return "";
    const auto& values = record.measures[static_cast<std::size_t>(column)];
    std::vector<std::size_t> order;
    for (std::size_t r = 0; r < values.size(); ++r) {
        if (std::isfinite(values[r])) order.push_back(r);
    }
    const auto& at = record.values[key];
    std::ranges::sort(order, [&](std::size_t a, std::size_t b) {
        return at[a] != at[b] ? at[a] < at[b] : a < b;
    });
    const Shown unit = shown_of(one);
    const Shown key_unit = shown_as(what.units);
    Chart chart = still_chart(fmt::format("along-{}-{}", one.measure, key),
                              key_text(one.measure) + " over " + what.key,
                              {what.key, what.multiplies ? "times" : key_unit.units},
                              {key_text(one.measure), unit.units});
    ChartSeries mean{.label = "mean", .stroke = Stroke::line, .tone = 1, .x = {}, .y = {}};
    ChartSeries low{.label = "5 and 95 %", .stroke = Stroke::dashed, .tone = 3, .x = {}, .y = {}};
    ChartSeries high = low;
    const std::size_t bins = std::clamp<std::size_t>(order.size() / 20, 2, 30);
    for (std::size_t from = 0, bin = 0; from < order.size(); ++bin) {
        std::size_t to =
            std::min(std::max(from + 1, (bin + 1) * order.size() / bins), order.size());
        while (to < order.size() && at[order[to]] == at[order[to - 1]]) ++to;
        std::vector<double> inside;
        double x = 0.0, y = 0.0;
        for (std::size_t i = from; i < to; ++i) {
            inside.push_back(unit.of(values[order[i]]));
            x += key_unit.of(at[order[i]]) / static_cast<double>(to - from);
            y += inside.back() / static_cast<double>(to - from);
        }
        std::ranges::sort(inside);
        const auto ranked = [&](double share) {
            return inside[static_cast<std::size_t>(share * static_cast<double>(inside.size() - 1))];
        };
        mean.x.push_back(x);
        mean.y.push_back(y);
        low.x.push_back(x);
        low.y.push_back(ranked(0.05));
        high.x.push_back(x);
        high.y.push_back(ranked(0.95));
        from = to;
    }
    low.x.push_back(nothing);  // the pen goes up between the lower and the upper edge
    low.y.push_back(nothing);
    low.x.insert(low.x.end(), high.x.begin(), high.x.end());
    low.y.insert(low.y.end(), high.y.begin(), high.y.end());
    chart.series = {std::move(mean), std::move(low)};
    return still_figure(chart);
}

std::string summary(const StudyRecord& record) {
    std::string body;
    put(body, "<p><strong>{}</strong></p><p>{}</p>", html_escape(study_headline(record)),
        html_escape(study_words(record)));
    const auto reasons = study_reasons(record);
    if (!reasons.empty()) {
        body += "<ul>";
        for (const std::string& one : reasons) put(body, "<li>{}</li>", html_escape(one));
        body += "</ul>";
    }
    FigureTable keys;
    keys.caption = "What was varied";
    keys.headings = {"Key", "Unit"};
    for (const StudyKey& key : record.head.keys) keys.rows.push_back({key.key, key.asked});
    keys.headings[1] = "How";
    return html_section("summary", "What came out", body + still_table(keys));
}

std::string maps(const StudyRecord& record) {
    if (record.head.keys.size() < 2) return "";
    std::string body;
    std::size_t drawn = 0;
    for (const StudyStatistic& one : record.statistics) {
        const std::ptrdiff_t column = study_column(record, one.measure);
        if (column < 0 || drawn == most_figures) continue;
        const std::string picture = svg_study_map(record, 0, 1, static_cast<std::size_t>(column));
        if (picture.empty()) continue;
        ++drawn;
        const std::string unit = shown_of(one).units;
        put(body, "<figure><figcaption>{}{}</figcaption>{}</figure>",
            html_escape(key_text(one.measure)), unit.empty() ? "" : html_escape(" in " + unit),
            picture);
    }
    if (body.empty()) return "";
    return html_section("map", "Over the first two keys",
                        "<p>Other keys stand at their middle level. Between the levels the map is "
                        "straight; heavy lines are limits.</p>" +
                            body);
}

std::string spread(const StudyRecord& record) {
    std::string body = shown(study_statistic_table(record));
    const bool strewn = record.head.design == "random" || record.head.design == "sobol";
    std::size_t drawn = 0;
    for (const StudyStatistic& one : record.statistics) {
        if (!strewn || record.variants.size() < fewest_for_histogram || drawn++ == most_figures) {
            break;
        }
        body += histogram(record, one);
    }
    return html_section("spread", "How the measures lie", body);
}

std::string influence(const StudyRecord& record) {
    std::string body = shown(study_influence_table(record, record.head.keys.size())) +
                       shown(study_effect_table(record)) + shown(study_index_table(record));
    if (body.empty()) return "";
    std::size_t drawn = 0;
    for (const StudyStatistic& one : record.statistics) {
        const StudyInfluence* first = nullptr;
        for (const StudyInfluence& each : record.influences) {
            const bool more = first == nullptr || each.explained > first->explained;
            if (each.measure == one.measure && more) first = &each;
        }
        constexpr double worth_drawing = 0.05;
        if (first == nullptr || first->explained < worth_drawing || drawn == most_figures) continue;
        for (std::size_t k = 0; k < record.head.keys.size(); ++k) {
            if (record.head.keys[k].key != first->key) continue;
            const std::string figure = along_key(record, one, k);
            if (!figure.empty()) ++drawn;
            body += figure;
        }
    }
    return html_section("influence", "Which key matters", body);
}

std::string cautions(const StudyRecord& record) {
    std::string body = "<ul>";
    for (const std::string& one : study_cautions(record))
        put(body, "<li>{}</li>", html_escape(one));
    return html_section("mind", "Mind", body + "</ul>");
}

}  // namespace

std::string html_study(const StudyRecord& record) {
    const RunIdentity& who = record.head.identity;
    std::string out = still_page_head(
        record.head.verb == "scatter" ? "Scatter of a series" : "Variants", who,
        {{"Vehicle", who.vehicle}, {"Disc", who.disc}, {"Manoeuvre", who.manoeuvre}});
    out += summary(record);
    if (!record.limits.empty()) {
        out += html_section("limits", "Beyond the limits", shown(study_limit_table(record)));
    }
    out += maps(record);
    if (!record.statistics.empty()) out += spread(record);
    out += influence(record);
    const std::string rows = shown(study_variant_table(record, most_variants)) +
                             shown(study_failure_table(record, most_variants));
    if (!rows.empty()) out += html_section("variants", "Variant by variant", rows);
    out += cautions(record);
    return out + still_page_end(who);
}

}  // namespace damper
