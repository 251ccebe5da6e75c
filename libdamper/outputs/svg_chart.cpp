// SPDX-License-Identifier: MIT
#include "libdamper/outputs/svg_chart.hpp"

#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/thin.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <iterator>
#include <set>
#include <utility>

namespace damper {
namespace {

// The drawing, in its own units; the page scales it.
constexpr double width = 760.0, height = 330.0;
constexpr double left = 66.0, right = 748.0, top = 26.0, bottom = 286.0;

/// From values to places in the drawing.
class Frame {
  public:
    Frame(AxisRange x, AxisRange y, bool log_x, bool log_y)
        : x_(x), y_(y), log_x_(log_x), log_y_(log_y) {}
    [[nodiscard]] double px(double x) const { return left + (right - left) * share(x, x_, log_x_); }
    [[nodiscard]] double py(double y) const {
        return bottom - (bottom - top) * share(y, y_, log_y_);
    }
    [[nodiscard]] const AxisRange& x() const { return x_; }
    [[nodiscard]] const AxisRange& y() const { return y_; }
    [[nodiscard]] std::vector<double> x_ticks() const {
        return log_x_ ? log_ticks(x_, 8) : ticks(x_, 8);
    }
    [[nodiscard]] std::vector<double> y_ticks() const {
        return log_y_ ? log_ticks(y_, 5) : ticks(y_, 5);
    }

  private:
    static double share(double value, AxisRange range, bool logarithmic) {
        if (!logarithmic) return (value - range.low) / (range.high - range.low);
        return std::log(value / range.low) / std::log(range.high / range.low);
    }

    AxisRange x_, y_;
    bool log_x_, log_y_;
};

void draw_axes(std::string& out, const Chart& chart, const Frame& frame) {
    for (const double tick : frame.x_ticks()) {
        const double x = frame.px(tick);
        put(out, R"(<line class="grid" x1="{0:.1f}" x2="{0:.1f}" y1="{1}" y2="{2}"/>)", x, top,
            bottom);
        put(out, R"(<text x="{:.1f}" y="{}" text-anchor="middle">{}</text>)", x, bottom + 16.0,
            number_text(tick));
    }
    for (const double tick : frame.y_ticks()) {
        const double y = frame.py(tick);
        put(out, R"(<line class="grid" y1="{0:.1f}" y2="{0:.1f}" x1="{1}" x2="{2}"/>)", y, left,
            right);
        put(out, R"(<text x="{}" y="{:.1f}" text-anchor="end">{}</text>)", left - 6.0, y + 4.0,
            number_text(tick));
    }
    const auto with_units = [](const std::string& label, const std::string& units) {
        return html_escape(units.empty() ? label : label + " in " + units);
    };
    put(out, R"(<text x="{}" y="{}" text-anchor="middle">{}</text>)", 0.5 * (left + right),
        height - 8.0, with_units(chart.x_label, chart.x_units));
    put(out, R"(<text x="4" y="14">{}</text>)", with_units(chart.y_label, chart.y_units));
}

std::string polyline(const std::vector<double>& x, const std::vector<double>& y,
                     const Frame& frame) {
    // Thinned in the drawing: what falls on one column of it depends on the axis.
    std::vector<double> across(x.size());
    std::transform(x.begin(), x.end(), across.begin(), [&](double at) { return frame.px(at); });
    const Thinned thinned = thin(across, y, static_cast<std::size_t>(right - left));
    std::string path;
    bool pen_down = false;
    for (std::size_t i = 0; i < thinned.x.size(); ++i) {
        const double down = frame.py(thinned.y[i]);
        if (!std::isfinite(down) || !std::isfinite(thinned.x[i])) {
            pen_down = false;
            continue;
        }
        put(path, "{}{:.1f} {:.1f}", pen_down ? 'L' : 'M', thinned.x[i], down);
        pen_down = true;
    }
    return path;
}

/// A curve that may go back and forth: places rounded to half a unit, each stroke drawn once, so
/// that a thousand rounds on one orbit cost no more than the first.
std::string orbit(const std::vector<double>& x, const std::vector<double>& y, const Frame& frame) {
    using Place = std::pair<long, long>;
    std::set<std::pair<Place, Place>> drawn;
    std::string path;
    Place last{};
    bool started = false;
    bool pen_down = false;
    for (std::size_t i = 0; i < std::min(x.size(), y.size()); ++i) {
        if (!std::isfinite(x[i]) || !std::isfinite(y[i])) {
            started = pen_down = false;
            continue;
        }
        const double px = std::clamp(frame.px(x[i]), -1e4, 1e4);
        const double py = std::clamp(frame.py(y[i]), -1e4, 1e4);
        const Place here{std::lround(2.0 * px), std::lround(2.0 * py)};
        if (started && here == last) continue;
        const auto at = [](long half) { return 0.5 * static_cast<double>(half); };
        if (started && drawn.insert({last, here}).second) {
            if (!pen_down) put(path, "M{:.1f} {:.1f}", at(last.first), at(last.second));
            put(path, "L{:.1f} {:.1f}", at(here.first), at(here.second));
            pen_down = true;
        } else {
            pen_down = false;
        }
        last = here;
        started = true;
    }
    return path;
}

/// Bars of one series stand left or right of their place, so that two series can be compared.
std::string bars(const Chart& chart, std::size_t which, const Frame& frame) {
    const auto& series = chart.series[which];
    const auto& x = chart.x_of(series);
    const double slot = x.size() > 1 ? frame.px(x[1]) - frame.px(x[0]) : 40.0;
    const double bar = std::min(0.8 * slot, 60.0) / static_cast<double>(chart.series.size());
    std::string path;
    for (std::size_t i = 0; i < std::min(x.size(), series.y.size()); ++i) {
        if (!std::isfinite(series.y[i])) continue;
        const double from = frame.px(x[i]) + bar * (static_cast<double>(which) -
                                                    0.5 * static_cast<double>(chart.series.size()));
        put(path, "M{:.1f} {:.1f}V{:.1f}h{:.1f}V{:.1f}z", from, frame.py(0.0),
            frame.py(series.y[i]), bar, frame.py(0.0));
    }
    return path;
}

void draw_series(std::string& out, const Chart& chart, const Frame& frame) {
    for (std::size_t i = 0; i < chart.series.size(); ++i) {
        const auto& series = chart.series[i];
        const std::string path = series.stroke == Stroke::bars ? bars(chart, i, frame)
                                 : chart.kind == Chart::Kind::path
                                     ? orbit(chart.x_of(series), series.y, frame)
                                     : polyline(chart.x_of(series), series.y, frame);
        const char* stroke = series.stroke == Stroke::bars     ? "bar"
                             : series.stroke == Stroke::heavy  ? "curve heavy"
                             : series.stroke == Stroke::dashed ? "curve dashed"
                                                               : "curve";
        put(out, R"(<path class="{} tone-{}" d="{}"/>)", stroke, series.tone, path);
    }
}

void draw_marks(std::string& out, const Chart& chart, const Frame& frame) {
    struct Label {
        double from, to, base;
    };
    constexpr double line = 14.0;
    std::vector<Label> taken;
    for (const auto& mark : chart.marks) {
        const double x = frame.px(mark.x);
        const double y = frame.py(mark.y);
        if (x < left || x > right || y < top || y > bottom) continue;
        put(out, R"(<circle class="mark" cx="{:.1f}" cy="{:.1f}" r="4"/>)", x, y);
        // The curve rises to the right: there is room below right and above left of it.
        const bool to_left = x > left + 0.6 * (right - left);
        const double wide = 7.0 * static_cast<double>(mark.label.size());  // about
        const double from = to_left ? x - 8.0 - wide : x + 8.0;
        double base = y + (to_left ? -6.0 : 15.0);
        // Corners near each other get their labels on lines of their own.
        while (std::any_of(taken.begin(), taken.end(), [&](const Label& other) {
            return from < other.to && other.from < from + wide &&
                   std::abs(base - other.base) < line;
        })) {
            base += to_left ? -line : line;
        }
        taken.push_back({from, from + wide, base});
        put(out, R"(<text x="{:.1f}" y="{:.1f}" text-anchor="{}">{}</text>)",
            x + (to_left ? -8.0 : 8.0), base, to_left ? "end" : "start", html_escape(mark.label));
    }
}

void draw_key(std::string& out, const Chart& chart) {
    double x = right;
    // Backwards, since the key grows to the left; NOLINTNEXTLINE(modernize-loop-convert)
    for (auto series = chart.series.rbegin(); series != chart.series.rend(); ++series) {
        x -= 7.0 * static_cast<double>(series->label.size()) + 40.0;
        const char* kind = series->stroke == Stroke::dashed ? "curve dashed" : "curve heavy";
        put(out, R"(<path class="{} tone-{}" d="M{:.1f} 10h22"/>)", kind, series->tone, x);
        put(out, R"(<text x="{:.1f}" y="14">{}</text>)", x + 28.0, html_escape(series->label));
    }
}

}  // namespace

std::string svg_chart(const Chart& chart, bool close_up) {
    AxisRange x = x_range(chart);
    AxisRange y = y_range(chart);
    if (close_up && chart.close_up.size() == 4) {
        x = {.low = chart.close_up[0], .high = chart.close_up[1]};
        y = {.low = chart.close_up[2], .high = chart.close_up[3]};
    }
    const Frame frame(x, y, chart.log_x, chart.log_y);
    const std::string clip = chart.id + (close_up ? "-clip-close" : "-clip");
    std::string out;
    put(out, R"(<svg class="still" viewBox="0 0 {} {}" role="img" aria-label="{}">)", width, height,
        html_escape(chart.title + ". " + chart.reading));
    put(out, R"(<clipPath id="{}"><rect x="{}" y="{}" width="{}" height="{}"/></clipPath>)", clip,
        left, top, right - left, bottom - top);
    if (chart.kind == Chart::Kind::time && chart.settled > x.low && chart.settled <= x.high) {
        put(out, R"(<rect class="settling" x="{}" y="{}" width="{:.1f}" height="{}"/>)", left, top,
            frame.px(chart.settled) - left, bottom - top);
    }
    draw_axes(out, chart, frame);
    put(out, "<g clip-path=\"url(#{})\">", clip);
    draw_series(out, chart, frame);
    out += "</g>";
    draw_marks(out, chart, frame);
    draw_key(out, chart);
    out += "</svg>";
    return out;
}

}  // namespace damper
