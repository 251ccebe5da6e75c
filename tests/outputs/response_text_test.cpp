// SPDX-License-Identifier: MIT
// What a response looks like in words, as a table and as a page.
#include "libdamper/outputs/response_text.hpp"

#include "libdamper/outputs/chart.hpp"
#include "libdamper/outputs/response_words.hpp"
#include "libdamper/outputs/svg_chart.hpp"
#include "libdamper/outputs/visible_text.hpp"

#include "tests/support/has_text.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <limits>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>

using namespace damper;
using damper::testing::has;

namespace {

ResponseRecord sample() {
    ResponseRecord record;
    record.identity.scenario = "car";
    record.identity.title = "A <b>car</b>";
    record.identity.vehicle = "Car";
    record.identity.disc = "Disc";
    record.gear = "3";
    record.stage = "main";
    record.from = "engine torque";
    record.friction = "equivalent";
    record.speed = 200.0;
    record.torque = 80.0;
    record.disc_torque = 78.0;
    record.disc_stiffness = 974.0;
    record.firing_order = 2.0;
    record.firing_frequency = 63.7;
    record.firing_torque = record.swing = 70.0;
    record.frequency = {1.0, 10.0, 100.0};
    ResponseCurve curve;
    curve.name = "flywheel_speed";
    curve.label = "speed of the flywheel";
    curve.units = "(rad/s)/(N.m)";
    curve.magnitude = {0.9, 0.5, 0.0};
    curve.phase = {-1.5, -1.6, -1.57};
    curve.tops = {{10.0, 0.5, std::numeric_limits<double>::quiet_NaN()}};
    record.curves = {curve};
    for (const char* side : {"drive", "coast"}) {
        StageIsolation stage;
        stage.stage = "main, \"long\"";
        stage.side = side;
        stage.slips = {1.0, 3.0, 0.1};
        stage.sticks = {1.0, 1.1, 2.0};
        stage.slips_firing = 0.38;
        stage.sticks_firing = 1.7;
        record.stages.push_back(stage);
    }
    for (const double f : record.frequency) {
        EquivalentRow row;
        row.frequency = f;
        row.twist = 0.01;
        row.isolation = 0.4;
        record.equivalent.push_back(row);
    }
    record.at_firing = record.equivalent[1];
    record.remarks = {"mind <this>"};
    return record;
}

std::size_t count(const std::string& text, char c) {
    return static_cast<std::size_t>(std::count(text.begin(), text.end(), c));
}

}  // namespace

TEST_CASE("isolation is told in words that nobody has to convert") {
    CHECK(isolation_words(0.38) == "lets through 38.0 %");
    CHECK(isolation_words(1.02) == "passes it on as it is");
    CHECK(isolation_words(2.34) == "amplifies 2.34 times");
    CHECK(isolation_words(std::numeric_limits<double>::infinity()) == "–");
}

TEST_CASE("units per newton metre are those of a workshop") {
    CHECK(shown_per_torque("(rad/s)/(N.m)").units == "rpm per N m");
    CHECK(shown_per_torque("(rad/s)/(N.m)").factor == doctest::Approx(9.549296586));
    CHECK(shown_per_torque("(rad/s2)/(N.m)").units == "rad/s² per N m");
    CHECK(shown_per_torque("rad/(N.m)").units == "° per N m");
    CHECK(shown_per_torque("1").units == "N m per N m");
}

TEST_CASE("the text keeps to 100 columns and names stages, tops and what to mind") {
    const std::string text = response_text(sample());
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        CAPTURE(line);
        CHECK(columns_of(line) <= 100);
    }
    for (const char* part : {"in gear 3", "lets through 38.0 %", "63.7 Hz", "4.775", "rpm per N m",
                             "mind <this>", "order 2"}) {
        CAPTURE(part);
        CHECK(has(text, part));
    }
}

TEST_CASE("every line of the csv has as many cells as its head, whatever a stage is called") {
    const ResponseRecord record = sample();
    std::istringstream lines(response_csv(record));
    std::string head;
    REQUIRE(std::getline(lines, head));
    CHECK(head.starts_with("frequency_Hz,flywheel_speed_magnitude,flywheel_speed_phase_rad,"));
    CHECK_FALSE(has(head, "\""));
    std::size_t rows = 0;
    for (std::string line; std::getline(lines, line); ++rows) {
        CHECK(count(line, ',') == count(head, ','));
    }
    CHECK(rows == record.frequency.size());
}

TEST_CASE("the json reads back, with null for what is no number") {
    const auto json = nlohmann::json::parse(response_json(sample()));
    CHECK(json["responses"][0]["magnitude"][1] == 0.5);
    CHECK(json["responses"][0]["resonances"][0]["damping"].is_null());
    CHECK(json["isolation"].size() == 2);
    CHECK(json["met_at_firing"]["isolation"] == 0.4);
    ResponseRecord linear = sample();
    linear.equivalent.clear();
    CHECK(nlohmann::json::parse(response_json(linear))["met_at_firing"].is_null());
}

TEST_CASE("the page escapes what a file said, and draws no point of a curve that is 0") {
    const std::string page = response_page(sample());
    CHECK_FALSE(has(page, "<b>car</b>"));
    CHECK(has(page, "&lt;b&gt;car&lt;/b&gt;"));
    CHECK(has(page, "mind &lt;this&gt;"));
    CHECK(has(page, "data-log-x=\"yes\""));
    CHECK_FALSE(has(page, "nan"));
    CHECK_FALSE(has(page, "inf\""));
    ResponseRecord bare = sample();
    bare.curves.clear();
    bare.equivalent.clear();
    bare.stages.clear();
    CHECK(has(response_page(bare), "</html>"));
}

TEST_CASE("a logarithmic axis has decades of equal length and round ticks") {
    CHECK(log_ticks({1.0, 100.0}, 8) == std::vector<double>{1, 2, 5, 10, 20, 50, 100});
    // More than twice as many as wanted: whole decades, then every second one.
    CHECK(log_ticks({1.0, 1e5}, 5).size() == 6);
    CHECK(log_ticks({1.0, 1e12}, 4).size() == 5);
    CHECK(log_ticks({0.0, 1.0}, 5).empty());
    CHECK(log_ticks({2.0, 1.0}, 5).empty());
    Chart chart;
    chart.id = "c";
    chart.log_x = chart.log_y = true;
    chart.x = {1.0, 10.0, 100.0};
    chart.series.push_back({.label = "a", .stroke = Stroke::line, .tone = 1, .x = {}, .y = {}});
    chart.series[0].y = {1e-3, 0.0, 10.0};
    const AxisRange y = y_range(chart);
    CHECK(y.low == doctest::Approx(1e-3 * std::pow(10.0, -0.24)));  // 6 % of four decades
    CHECK(y.high == doctest::Approx(10.0 * std::pow(10.0, 0.24)));
    const std::string drawn = svg_chart(chart);
    CHECK_FALSE(has(drawn, "nan"));
    CHECK_FALSE(has(drawn, "inf"));
    // 10 lies in the middle of 1…100 (66 to 748 in the drawing, nothing beside).
    CHECK(has(drawn, R"(x="407.0")"));
}
