// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

namespace damper {

/// How a series is drawn.
enum class Stroke { line, dashed, heavy, bars };

/// One curve of a chart, in the units that the chart shows.
struct ChartSeries {
    std::string label;
    Stroke stroke = Stroke::line;
    int tone = 1;           ///< Colour, 1…4, of the page's style.
    std::vector<double> x;  ///< Own abscissa; empty: that of the chart.
    std::vector<double> y;  ///< Same length as its abscissa.
};

/// A named point of a chart.
struct ChartMark {
    std::string label;
    double x = 0.0;
    double y = 0.0;
};

/// What one chart shows, before anything is drawn. Texts are plain, not yet escaped.
struct Chart {
    /// time: x rises and is shared; bars: a few values beside each other; path: each series has
    /// its own x, in any order.
    enum class Kind { time, bars, path };
    Kind kind = Kind::time;
    std::string id;  ///< Of the figure in the page: letters, digits, '-'.
    std::string title;
    std::string x_label;
    std::string x_units;
    std::string y_label;
    std::string y_units;
    std::string reading;  ///< What the chart shows, in sentences: stands in for the picture.
    std::vector<double> x;
    std::vector<ChartSeries> series;
    std::vector<ChartMark> marks;
    bool log_x = false;  ///< Axis with decades of equal length; only positive values show.
    bool log_y = false;
    double settled = 0.0;  ///< Of a time chart: what lies before is not measured, and shaded [s].
    /// Part of the chart that the page can jump to, as x_low, x_high, y_low, y_high; or empty.
    std::vector<double> close_up;

    [[nodiscard]] const std::vector<double>& x_of(const ChartSeries& one) const {
        return one.x.empty() ? x : one.x;
    }
};

/// A stretch of an axis.
struct AxisRange {
    double low = 0.0;
    double high = 1.0;
};

/// Limits around all finite values of the series with a margin; bars include 0. On a logarithmic
/// axis around the positive ones, with a margin in the logarithm. Never empty.
[[nodiscard]] AxisRange x_range(const Chart& chart);
[[nodiscard]] AxisRange y_range(const Chart& chart);

/// Round numbers from 1, 2, 5 × 10ⁿ inside the range, about `wanted` of them.
[[nodiscard]] std::vector<double> ticks(AxisRange range, int wanted);

/// The same for a logarithmic axis: 1, 2, 5 × 10ⁿ inside the positive range, or whole decades,
/// every second one and so on where those would be more than twice as many as wanted.
[[nodiscard]] std::vector<double> log_ticks(AxisRange range, int wanted);

}  // namespace damper
