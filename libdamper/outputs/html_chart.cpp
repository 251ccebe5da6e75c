// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_chart.hpp"

#include "libdamper/outputs/base64.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/svg_chart.hpp"
#include "libdamper/outputs/thin.hpp"

#include <string_view>

namespace damper {
namespace {

std::string_view kind_name(Chart::Kind kind) {
    switch (kind) {
        case Chart::Kind::time:
            return "time";
        case Chart::Kind::bars:
            return "bars";
        case Chart::Kind::path:
            return "path";
    }
    return "";
}

std::string_view stroke_name(Stroke stroke) {
    switch (stroke) {
        case Stroke::line:
            return "line";
        case Stroke::dashed:
            return "dashed";
        case Stroke::heavy:
            return "heavy";
        case Stroke::bars:
            return "bars";
    }
    return "";
}

void put_data(std::string& out, std::string_view attributes, const std::vector<double>& values) {
    put(out, R"(<script type="application/octet-stream" {}>{}</script>)", attributes,
        base64_floats(values));
}

/// A path goes back and forth: its samples are thinned by leaving out, not by extremes, since
/// the static picture and the corners hold what must not be lost.
std::vector<double> every(const std::vector<double>& values, std::size_t stride) {
    std::vector<double> out;
    for (std::size_t i = 0; i < values.size(); i += stride) out.push_back(values[i]);
    return out;
}

void put_series(std::string& out, const Chart& chart, const ChartSeries& series) {
    const std::string attributes =
        fmt::format(R"(data-role="y" data-label="{}" data-stroke="{}" data-tone="{}")",
                    html_escape(series.label), stroke_name(series.stroke), series.tone);
    if (chart.kind != Chart::Kind::path) {
        put_data(out, attributes, thin(chart.x_of(series), series.y, most_samples / 2).y);
        return;
    }
    const std::size_t stride = series.y.size() / most_samples + 1;
    put_data(out, R"(data-role="x")", every(chart.x_of(series), stride));
    put_data(out, attributes, every(series.y, stride));
}

}  // namespace

std::string axis_id(const Chart& chart) {
    return chart.id + "-axis";
}

std::string chart_figure(const Chart& chart, const std::string& shared_axis) {
    std::string out;
    put(out, R"(<figure class="chart" id="{}" data-kind="{}" data-x-label="{}" data-x-units="{}" )",
        chart.id, kind_name(chart.kind), html_escape(chart.x_label), html_escape(chart.x_units));
    put(out, R"(data-y-label="{}" data-y-units="{}")", html_escape(chart.y_label),
        html_escape(chart.y_units));
    if (chart.kind != Chart::Kind::path) {
        put(out, R"( data-axis="{}")", shared_axis.empty() ? axis_id(chart) : shared_axis);
    }
    if (chart.log_x) out += R"( data-log-x="yes")";
    if (chart.log_y) out += R"( data-log-y="yes")";
    if (chart.settled > 0.0) put(out, R"( data-settled="{}")", chart.settled);
    if (chart.close_up.size() == 4) {
        put(out, R"( data-close-up="{} {} {} {}")", chart.close_up[0], chart.close_up[1],
            chart.close_up[2], chart.close_up[3]);
    }
    put(out, R"(><figcaption id="{}-title">{}</figcaption>)", chart.id, html_escape(chart.title));
    out += svg_chart(chart);
    if (chart.close_up.size() == 4) {
        out += R"(<p class="still">The same, close up on the part travelled in this run:</p>)";
        out += svg_chart(chart, true);
    }
    put(out, R"(<p class="reading" id="{}-reading">{}</p>)", chart.id, html_escape(chart.reading));
    if (chart.kind != Chart::Kind::path && shared_axis.empty()) {
        const auto axis = fmt::format(R"(id="{}")", axis_id(chart));
        // Thinned with itself the axis takes the x that every series of it takes.
        put_data(out, axis, thin(chart.x, chart.x, most_samples / 2).x);
    }
    for (const auto& series : chart.series) put_series(out, chart, series);
    out += "</figure>\n";
    return out;
}

}  // namespace damper
