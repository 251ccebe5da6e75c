// SPDX-License-Identifier: MIT
#include "libdamper/outputs/chart.hpp"

#include "libdamper/outputs/svg_chart.hpp"
#include "libdamper/outputs/thin.hpp"

#include "tests/outputs/scan.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <limits>
#include <sstream>
#include <string>
#include <vector>

using namespace damper;

namespace {

Chart spike_chart() {
    Chart chart;
    chart.id = "spike";
    chart.title = "Spikes";
    chart.x_label = "Time";
    chart.y_label = "Value";
    chart.series.push_back({.label = "one", .stroke = Stroke::line, .tone = 1, .x = {}, .y = {}});
    for (int i = 0; i < 40000; ++i) {
        chart.x.push_back(1e-4 * i);
        chart.series[0].y.push_back(i == 12345 ? 100.0 : i == 30001 ? -50.0 : std::sin(0.01 * i));
    }
    return chart;
}

/// The ordinates of the first curve of a drawing.
std::vector<double> ordinates(const std::string& svg) {
    const auto path = between(svg, "<path class=\"curve", "\"/>");
    REQUIRE(!path.empty());
    std::string points = path[0].substr(path[0].find(" d=\"") + 4);
    for (char& c : points) {
        if (c == 'M' || c == 'L') c = ' ';
    }
    std::istringstream numbers(points);
    std::vector<double> out;
    double x = 0.0;
    double y = 0.0;
    while (numbers >> x >> y) out.push_back(y);
    return out;
}

}  // namespace

TEST_CASE("a thinned curve keeps every peak of every bin") {
    const Chart chart = spike_chart();
    const auto& y = chart.series[0].y;
    const Thinned thinned = thin(chart.x, y, 500);
    CHECK(thinned.y.size() == 1000);
    for (std::size_t bin = 0; bin < 500; ++bin) {
        const auto first = y.begin() + static_cast<long>(80 * bin);
        const auto [low, high] = std::minmax_element(first, first + 80);
        CHECK(std::min(thinned.y[2 * bin], thinned.y[2 * bin + 1]) == *low);
        CHECK(std::max(thinned.y[2 * bin], thinned.y[2 * bin + 1]) == *high);
    }
    CHECK(std::is_sorted(thinned.x.begin(), thinned.x.end()));
    CHECK(std::adjacent_find(thinned.x.begin(), thinned.x.end()) == thinned.x.end());
}

TEST_CASE("a short curve passes unchanged and gaps stay gaps") {
    const std::vector<double> x{0.0, 1.0, 2.0};
    const std::vector<double> y{3.0, std::nan(""), 5.0};
    CHECK(thin(x, y, 2).x == x);
    std::vector<double> long_x(100);
    std::vector<double> long_y(100, std::nan(""));
    long_y[70] = std::numeric_limits<double>::infinity();
    long_y[99] = 1.0;
    for (std::size_t i = 0; i < 100; ++i) long_x[i] = static_cast<double>(i);
    const Thinned thinned = thin(long_x, long_y, 10);
    CHECK(std::isnan(thinned.y[0]));
    CHECK(std::isnan(thinned.y[15]));
    CHECK(thinned.y[19] == 1.0);
}

TEST_CASE("a drawing of 40 000 samples keeps one-sample peaks and stays small") {
    const std::string svg = svg_chart(spike_chart());
    const auto y = ordinates(svg);
    REQUIRE(!y.empty());
    // Ends of the value axis: 6 % of the span 150 beyond 100 and −50; the plot is 26…286 high.
    const auto place = [](double value) { return 286.0 - 260.0 * (value + 59.0) / 168.0; };
    CHECK(*std::min_element(y.begin(), y.end()) == doctest::Approx(place(100.0)).epsilon(1e-3));
    CHECK(*std::max_element(y.begin(), y.end()) == doctest::Approx(place(-50.0)).epsilon(1e-3));
    CHECK(svg.size() < 40'000);
}

TEST_CASE("an orbit that is run through a thousand times is drawn once") {
    Chart chart;
    chart.kind = Chart::Kind::path;
    chart.id = "orbit";
    ChartSeries series{.label = "round", .stroke = Stroke::heavy, .tone = 1, .x = {}, .y = {}};
    for (int i = 0; i < 200'000; ++i) {
        series.x.push_back(std::cos(0.01 * M_PI * i));
        series.y.push_back(std::sin(0.01 * M_PI * i));
    }
    chart.series.push_back(series);
    const auto y = ordinates(svg_chart(chart));
    CHECK(y.size() >= 200);
    CHECK(y.size() < 260);
}

TEST_CASE("names in a drawing are escaped") {
    Chart chart = spike_chart();
    chart.title = "<b>&";
    chart.series[0].label = "</text><script>";
    chart.marks.push_back({"<i>", 1.0, 0.0});
    const std::string svg = svg_chart(chart);
    CHECK(svg.find("<b>") == std::string::npos);
    CHECK(svg.find("<script>") == std::string::npos);
    CHECK(svg.find("&lt;i&gt;") != std::string::npos);
}

TEST_CASE("ticks are round numbers inside the range, and none for an impossible range") {
    const auto at = ticks({.low = -0.31, .high = 1.02}, 6);
    REQUIRE(at.size() == 7);
    CHECK(at.front() == doctest::Approx(-0.2));
    CHECK(at.back() == doctest::Approx(1.0));
    CHECK(ticks({.low = 1.0, .high = 1.0}, 6).empty());
    CHECK(ticks({.low = 0.0, .high = std::nan("")}, 6).empty());
    CHECK(ticks({.low = 1e17, .high = 1e17 + 16.0}, 6).size() <= 101);
}

TEST_CASE("ranges hold for constants, for nothing, and for values that are not numbers") {
    Chart chart;
    CHECK(y_range(chart).high > y_range(chart).low);
    chart.x = {0.0, 1.0};
    chart.series.push_back(
        {.label = "flat", .stroke = Stroke::line, .tone = 1, .x = {}, .y = {5.0, 5.0}});
    CHECK(y_range(chart).low < 5.0);
    CHECK(y_range(chart).high > 5.0);
    chart.series[0].y = {std::nan(""), 7.0};
    CHECK(y_range(chart).high < 8.0);
}

TEST_CASE("corners close to each other get labels that do not overprint") {
    Chart chart = spike_chart();
    // In pixels: all three within one line of text, the last on the other side of the picture.
    chart.marks = {{.label = "first corner", .x = 1.0, .y = 0.0},
                   {.label = "second corner", .x = 1.05, .y = 0.5},
                   {.label = "third corner", .x = 1.1, .y = 1.0}};
    const std::string svg = svg_chart(chart);
    std::vector<double> lines;
    for (const auto& mark : chart.marks) {
        const auto at = svg.find(">" + mark.label + "<");
        REQUIRE(at != std::string::npos);
        const auto y = svg.rfind(" y=\"", at) + 4;
        lines.push_back(std::stod(svg.substr(y, 10)));
    }
    for (std::size_t i = 0; i < lines.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) CHECK(std::abs(lines[i] - lines[j]) >= 13.9);
    }
}
