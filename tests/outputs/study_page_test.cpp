// SPDX-License-Identifier: MIT
#include "libdamper/outputs/study_rows.hpp"
#include "libdamper/outputs/study_text.hpp"
#include "libdamper/outputs/svg_study_map.hpp"

#include <doctest/doctest.h>
#include <limits>
#include <regex>
#include <string>
#include <vector>

using namespace damper;

namespace {

/// A grid of 3 × 3 on which the measure is the first key.
StudyRecord some_grid() {
    StudyRecord record;
    StudyHead& head = record.head;
    head.identity.scenario = "invented";
    head.identity.title = "Invented <b>title</b>";
    head.verb = "vary";
    head.design = "grid";
    head.nominal = "good";
    head.asked = head.total = 9;
    head.keys = {{"disc.<i>", "0..2:3", "1", false, {0, 1, 2}, {}},
                 {"b", "0..4:3", "1", false, {0, 2, 4}, {}}};
    StudyMeasure one;
    one.name = "transfer";
    one.units = std::string("1");
    one.has_limit = true;
    one.good = 0.5;
    one.bad = 1.5;
    head.measures = {one};
    record.present = {0};
    record.values.resize(2);
    record.measures.resize(1);
    for (int v = 0; v < 9; ++v) {
        record.variants.push_back(v);
        record.ended.push_back(0);
        record.values[0].push_back(v / 3);
        record.values[1].push_back(2.0 * (v % 3));
        record.measures[0].push_back(v / 3);
    }
    record.grades = {{0, 0, 0, 1, 1, 1, 2, 2, 2}};
    StudyStatistic statistic;
    statistic.measure = "transfer";
    statistic.units = std::string("1");
    statistic.count = 9;
    statistic.most = 2.0;
    record.statistics = {statistic};
    return record;
}

}  // namespace

TEST_CASE("a contour lies where the measure has its value") {
    // The measure is the horizontal axis itself, from 0 at x = 86 to 2 at x = 736: its contours are
    // upright lines.
    const std::string svg = svg_study_map(some_grid(), 0, 1, 0);
    const std::regex line(R"rx(<path[^>]* stroke-width="4" d="M([0-9.]+) [0-9.]+L([0-9.]+) )rx");
    std::smatch found;
    REQUIRE(std::regex_search(svg, found, line));
    for (int end = 1; end <= 2; ++end) {
        // bad beyond 1.5: three quarters of the way; coordinates are written to a tenth.
        CHECK(std::stod(found[static_cast<std::size_t>(end)]) ==
              doctest::Approx(86 + 0.75 * 650).epsilon(1e-3));
    }
    CHECK(svg.find("bad beyond") != std::string::npos);
    CHECK(svg.find("disc.&lt;i&gt;") != std::string::npos);
    CHECK(svg.find("nan") == std::string::npos);
}

TEST_CASE("there is no map of what has none") {
    StudyRecord record = some_grid();
    CHECK(svg_study_map(record, 0, 0, 0).empty());
    record.head.keys[1].choices = {"x", "y", "z"};
    CHECK(svg_study_map(record, 0, 1, 0).empty());
    record = some_grid();
    record.head.design = "sobol";
    CHECK(svg_study_map(record, 0, 1, 0).empty());
}

TEST_CASE("holes in a grid leave holes in its map") {
    StudyRecord record = some_grid();
    record.measures[0][4] = std::numeric_limits<double>::quiet_NaN();
    const std::string svg = svg_study_map(record, 0, 1, 0);
    CHECK_FALSE(svg.empty());
    CHECK(svg.find("nan") == std::string::npos);
}

TEST_CASE("what a file said stays text on the page, and the page is whole") {
    const std::string page = html_study(some_grid());
    CHECK(page.find("Invented &lt;b&gt;title") != std::string::npos);
    CHECK(page.find("<b>title") == std::string::npos);
    CHECK(page.find("<script") == std::string::npos);
    CHECK(page.find("</html>") != std::string::npos);
}

TEST_CASE("a study without a finished variant still prints") {
    StudyRecord record;
    record.head = some_grid().head;
    record.missing = {{0, 8}};
    record.missing_count = 9;
    record.values.resize(2);
    CHECK(study_text(record).find("9 of 9 missing") != std::string::npos);
    CHECK(study_csv(record) == "variant,ended,disc.<i>,b\n");
    CHECK(html_study(record).find("</html>") != std::string::npos);
    CHECK(study_json(record).find("\"done\": 0") != std::string::npos);
}
