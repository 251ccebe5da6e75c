// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_orbit.hpp"

#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/html_still.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/orbit_axis.hpp"
#include "libdamper/outputs/orbit_text.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numbers>

namespace damper {

namespace {

constexpr double rpm = std::numbers::pi / 30.0;
constexpr std::size_t flywheel = 0, input = 1, acceleration = 2, half_shaft = 4;  // signals
constexpr double nan = std::numeric_limits<double>::quiet_NaN();
using Value = std::function<double(const OrbitPoint&)>;

bool is_unstable(const OrbitPoint& point) {
    return point.judged && !point.stable;
}

/// Along the curve, with the pen up over gaps, and where the motions are not those wanted.
void add_part(Chart& chart, const OrbitRecord& record, const std::string& label, int tone,
              Stroke stroke, const Value& value, bool unstable) {
    const OrbitAxis axis(record);
    ChartSeries full{.label = label, .stroke = stroke, .tone = tone, .x = {}, .y = {}};
    for (std::size_t k = 0; k < record.points.size(); ++k) {
        const OrbitPoint& point = record.points[k];
        for (const OrbitGap& gap : record.gaps) {
            if (k == 0) break;
            const double middle = 0.5 * (point.parameter + record.points[k - 1].parameter);
            if (middle <= gap.low || middle >= gap.high) continue;
            full.x.push_back(nan);
            full.y.push_back(nan);
        }
        // An unstable part begins and ends at its stable neighbours, so that the line is whole.
        const bool here = is_unstable(point) || (k > 0 && is_unstable(record.points[k - 1])) ||
                          (k + 1 < record.points.size() && is_unstable(record.points[k + 1]));
        const bool drawn = unstable ? here : !is_unstable(point);
        full.x.push_back(drawn ? axis.of(point.parameter) : nan);
        full.y.push_back(drawn ? value(point) : nan);
    }
    chart.series.push_back(std::move(full));
}

/// Along the curve: unstable parts dashed, in the same tone.
void add_along(Chart& chart, const OrbitRecord& record, const std::string& label, int tone,
               Stroke stroke, const Value& value) {
    add_part(chart, record, label, tone, stroke, value, false);
    if (!std::any_of(record.points.begin(), record.points.end(), is_unstable)) return;
    add_part(chart, record, label + ", unstable", tone, Stroke::dashed, value, true);
}

Chart chart_of(const OrbitRecord& record, const char* id, std::string title, const char* label,
               std::string units) {
    const OrbitAxis axis(record);
    Chart chart;
    chart.kind = Chart::Kind::path;
    chart.id = id;
    chart.title = std::move(title);
    chart.x_label = axis.name();
    chart.x_units = axis.units();
    chart.y_label = label;
    chart.y_units = std::move(units);
    return chart;
}

std::size_t order_index(const OrbitRecord& record, double order) {
    for (std::size_t k = 0; k < record.orders.size(); ++k) {
        if (std::abs(record.orders[k] - order) < 1e-9) return k;
    }
    return record.orders.size();
}

std::string cuts(const OrbitRecord& record) {
    std::string body =
        "<p>Drawn along the curve: where it folds back, one speed has several motions. "
        "Unstable parts, which nothing settles to, are dashed.</p>";
    for (int multiple = 1; multiple <= 3; ++multiple) {
        const std::size_t k = order_index(record, multiple * record.firing_order);
        if (k == record.orders.size()) continue;
        const std::string id = fmt::format("cut-{}", multiple);
        Chart chart =
            chart_of(record, id.c_str(),
                     fmt::format("Speed swing at order {:g}{}", record.orders[k],
                                 multiple == 1 ? ", the firing order"
                                               : fmt::format(", {} × the firing order", multiple)),
                     "Amplitude", "rpm");
        for (const auto& [signal, label] :
             {std::pair{flywheel, "Flywheel"}, std::pair{input, "Gearbox input"}}) {
            add_along(chart, record, label, signal == flywheel ? 1 : 2, Stroke::line,
                      [s = signal, k](const OrbitPoint& p) { return p.amplitude[s][k] / rpm; });
        }
        body += still_figure(chart);
    }
    return html_section("cuts", "How much it swings", body);
}

std::string isolation(const OrbitRecord& record) {
    const std::size_t k = order_index(record, record.firing_order);
    if (k == record.orders.size()) return "";
    Chart chart = chart_of(record, "isolation", "Gearbox input over flywheel at the firing order",
                           "Ratio", "");
    add_along(chart, record, "Gearbox input / flywheel", 1, Stroke::line, [k](const OrbitPoint& p) {
        return p.amplitude[input][k] / p.amplitude[flywheel][k];
    });
    std::string body =
        "<p>Below 1 the damper keeps swing away from the gearbox.</p>" + still_figure(chart);
    if (record.signals.size() > half_shaft) {
        Chart shaft = chart_of(record, "half-shaft", "Half shaft torque at the firing order",
                               "Amplitude", "N m");
        add_along(shaft, record, "Half shaft", 4, Stroke::line,
                  [k](const OrbitPoint& p) { return p.amplitude[half_shaft][k]; });
        body += still_figure(shaft);
    }
    return html_section("isolation", "What the damper lets through", body);
}

std::string rattle(const OrbitRecord& record) {
    if (record.gears.empty()) return "";
    Chart chart =
        chart_of(record, "rattle", "Inertia torque over drag at each loose gear", "Ratio", "");
    constexpr int tones[] = {1, 3, 4};  // the limit has the one between
    for (std::size_t g = 0; g < record.gears.size(); ++g) {
        add_along(chart, record, record.gears[g], tones[g % 3],
                  g < 3 ? Stroke::line : Stroke::dashed,
                  [g](const OrbitPoint& p) { return p.rattle_ratio[g]; });
    }
    ChartSeries limit{
        .label = "limit", .stroke = Stroke::heavy, .tone = 2, .x = {}, .y = {1.0, 1.0}};
    const OrbitAxis axis(record);
    limit.x = {axis.of(std::min(record.from, record.to)),
               axis.of(std::max(record.from, record.to))};
    chart.series.push_back(limit);
    const char* meaning =
        record.loose_gears == "held"
            ? "<p>Above the heavy line at 1 the teeth would part: the gear can rattle. The curve "
              "itself keeps them in contact.</p>"
            : "<p>Above the heavy line at 1 the teeth part: the gear rattles.</p>";
    return html_section("rattle", "Which loose gears rattle where", meaning + still_figure(chart));
}

std::string map(const OrbitRecord& record) {
    const std::string picture = svg_order_map(record, acceleration);
    if (picture.empty()) return "";
    return html_section("map", html_escape("All orders over " + OrbitAxis(record).title()),
                        "<p>Angular acceleration of the gearbox input, 0 to peak, on a logarithmic "
                        "scale; where several motions share a speed, the largest.</p><figure>" +
                            picture + "</figure>");
}

std::string breaks(const OrbitRecord& record) {
    const OrbitAxis axis(record);
    std::string body;
    for (const OrbitJump& jump : record.jumps) {
        put(body,
            "<p>Up-sweep and down-sweep differ from {}: going up, the motion jumps at the upper "
            "end, going down at the lower one.</p>",
            html_escape(axis.span(jump.low, jump.high)));
    }
    for (const OrbitGap& gap : record.gaps) {
        put(body, "<p>No curve from {}: {}.</p>", html_escape(axis.span(gap.low, gap.high)),
            html_escape(gap.why));
    }
    std::size_t unstable = 0;
    std::size_t unknown = 0;
    std::size_t shot = 0;
    std::size_t several = 0;
    for (const OrbitPoint& point : record.points) {
        if (!point.judged) ++unknown;
        if (point.method == OrbitMethod::shooting) ++shot;
        if (point.periods > 1) ++several;
        if (point.judged && !point.stable) ++unstable;
    }
    put(body, "<p>{} motions were found; {} are unstable, of {} it is not known.</p>",
        record.points.size(), unstable, unknown);
    if (shot > 0) {
        std::vector<std::vector<std::string>> rows;
        for (const OrbitPoint& point : record.points) {
            if (point.method != OrbitMethod::shooting) continue;
            rows.push_back({number_text(axis.of(point.parameter)), std::to_string(point.periods),
                            !point.judged  ? "not known"
                            : point.stable ? "yes"
                                           : "no"});
        }
        put(body,
            "<p>{} of them were found by harmonic balance, {} by shooting (exact runs that close), "
            "where contacts open and close too sharply for it; {} of these take more than one "
            "period of the engine's torque to repeat.</p>",
            record.points.size() - shot, shot, several);
        body += html_table("Found by shooting",
                           {{.heading = html_escape(axis.heading()), .numeric = true},
                            {.heading = "Periods", .numeric = true},
                            {.heading = "Stable"}},
                           rows);
    }
    if (record.stopped) body += R"(<p class="alert">Stopped before the end.</p>)";
    return html_section("breaks", "Jumps, gaps, stability", body);
}

std::string unsettled(const OrbitRecord& record) {
    if (record.unsettled.empty()) return "";
    const OrbitAxis axis(record);
    std::vector<std::vector<std::string>> rows;
    for (const std::size_t k : some_unsettled(record)) {
        const OrbitUnsettled& run = record.unsettled[k];
        rows.push_back({number_text(axis.of(run.parameter)), number_text(run.amplitude / rpm),
                        unsettled_text(run)});
    }
    return html_section(
        "unsettled", "Where nothing that repeats was found",
        html_table("Exact runs; gearbox input at the firing order, and by how much of its swing "
                   "what changes most does so at least",
                   {{.heading = html_escape(axis.heading())},
                    {.heading = "Gearbox input in rpm", .numeric = true},
                    {.heading = "Changes by"}},
                   rows));
}

std::string checks(const OrbitRecord& record) {
    if (record.checks.empty()) return "";
    const OrbitAxis axis(record);
    std::vector<std::vector<std::string>> rows;
    for (const OrbitCheck& check : record.checks) {
        rows.push_back({number_text(axis.of(check.parameter)),
                        check.finished ? percent_text(check.deviation) : "",
                        check.finished ? repeats_text(check) : html_escape(check.trouble)});
    }
    return html_section("checks", "Exact runs begun on the curve",
                        html_table("Loose gears free; largest order of the gearbox input",
                                   {{.heading = html_escape(axis.heading())},
                                    {.heading = "Curve against run", .numeric = true},
                                    {.heading = "Run repeats"}},
                                   rows));
}

std::string head(const OrbitRecord& record) {
    std::vector<Fact> facts = {{"Vehicle", record.identity.vehicle},
                               {"Disc", record.identity.disc},
                               {"Curve", record.curve},
                               {"Gear", record.gear}};
    if (record.load > 0.0) facts.emplace_back("Share of peak torque", percent_text(record.load));
    facts.emplace_back("Loose gears", record.loose_gears);
    const OrbitAxis axis(record);
    if (!record.key.empty()) {
        facts.emplace_back("Engine speed", fmt::format("{:.0f} rpm", record.engine_speed / rpm));
    }
    return still_page_head(html_escape("Steady motions over " + axis.title()), record.identity,
                           facts);
}

}  // namespace

std::string html_orbit(const OrbitRecord& record) {
    std::string out = head(record);
    out += breaks(record);
    if (!record.points.empty()) {
        out += cuts(record) + isolation(record) + rattle(record) + map(record);
    }
    out += unsettled(record);
    out += checks(record);
    std::string origin;
    put(origin, "<p>damper {}; <code>{}</code></p>", html_escape(record.identity.program_version),
        html_escape(record.identity.command_line));
    for (const auto& [file, hash] : record.identity.inputs) {
        put(origin, "<p>{} <code>{}</code></p>", html_escape(file), html_escape(hash));
    }
    out += html_section("origin", "Where it comes from", origin);
    put(out,
        "</main><footer><p>{} The mean speed is held; what is beyond the curve a run in time "
        "tells.</p></footer></body></html>\n",
        estimate_notice());
    return out;
}

}  // namespace damper
