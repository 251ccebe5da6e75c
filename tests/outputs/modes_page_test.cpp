// SPDX-License-Identifier: MIT
#include "libdamper/base/digest.hpp"
#include "libdamper/outputs/base64.hpp"
#include "libdamper/outputs/html_modes.hpp"
#include "libdamper/outputs/modes_text.hpp"
#include "libdamper/outputs/modes_words.hpp"
#include "libdamper/outputs/page_files.hpp"
#include "libdamper/outputs/svg_modes.hpp"

#include "tests/outputs/scan.hpp"
#include "tests/support/sample_modes.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <limits>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>
#include <string>

using namespace damper;

namespace {

bool holds(const std::string& text, const std::string& piece) {
    return text.find(piece) != std::string::npos;
}

std::size_t count(const std::string& text, const std::string& piece) {
    std::size_t found = 0;
    for (std::size_t at = text.find(piece); at != std::string::npos;
         at = text.find(piece, at + 1)) {
        ++found;
    }
    return found;
}

}  // namespace

TEST_CASE("the page of modes needs nothing from elsewhere and runs no script") {
    const std::string page = html_modes(sample::modes());
    CHECK(!holds(page, "<script"));
    CHECK(!holds(page, "http:"));
    CHECK(!holds(page, "https:"));
    CHECK(!holds(page, " style=\""));  // would be blocked by the page's own policy
    for (const EmbeddedFile& file : {page_style(), modes_style()}) {
        CHECK(file.sha256 == sha256_hex(std::as_bytes(std::span(file.text))));
        CHECK(holds(page, "'sha256-" + base64_of_hex(file.sha256) + "'"));
        CHECK(holds(page, "<style>" + std::string(file.text) + "</style>"));
    }
}

TEST_CASE("names from files cannot become part of the page of modes") {
    ModesRecord record = sample::modes();
    record.gears[1].inertias[1].name = "\"><img src=x>";
    record.gears[1].elements[0].name = "<script>alert(1)</script>";
    record.gears[1].disc_stage = "</p><b>";
    record.gears[1].modes[0].name = "'><svg onload=x>";
    record.gears[1].influences[0][0].what = "<i>";
    const std::string page = html_modes(record);
    CHECK(!holds(page, "<img"));
    CHECK(!holds(page, "<script"));
    CHECK(!holds(page, "<b>&</b>"));
    CHECK(!holds(page, "</p><b>"));
    CHECK(!holds(page, "<i>"));
    CHECK(!holds(page, "onload=x>"));
}

TEST_CASE("every id of the page of modes is there once") {
    const std::string page = html_modes(sample::modes());
    std::set<std::string> seen;
    for (const std::string& id : between(page, " id=\"", "\"")) {
        CAPTURE(id);
        CHECK(seen.insert(id).second);
    }
    CHECK(seen.size() >= 6);
}

TEST_CASE("each mode that an order can meet is drawn once, with its energy in words") {
    const ModesRecord record = sample::modes();
    const std::string page = html_modes(record);
    // Two of three modes of both gears: 4 × 600 rad/s are 382 Hz.
    CHECK(modes_met(record, record.gears[0]) == 2);
    CHECK(count(page, "class=\"mode-drawing\"") == 4);
    CHECK(holds(page,
                "Above 382 Hz, where no order of the list reaches: neutral, 1 mode at 5000 "
                "Hz; gear a/b, 1 mode at 5000 Hz."));
    CHECK(holds(page, "moving: engine 70 %, wheel 30 %; twisting: half shaft 60 %, disc 40 %"));
    CHECK(holds(page, "does not swing"));
}

TEST_CASE("the drawing of a mode keeps inside its frame, whatever the numbers") {
    ModesRecord record = sample::modes();
    GearModes& gear = record.gears[1];
    gear.modes[0].shape = {1e-9, 1.0, -1.0};
    gear.inertias[2].ratio = 0.0;
    const std::string svg = svg_mode(gear, 0);
    CHECK(!holds(svg, "nan"));
    CHECK(!holds(svg, "inf"));
    for (const char* attribute : {" x1=\"", " x2=\"", " y1=\"", " y2=\"", " x=\"", " y=\""}) {
        for (const std::string& number : between(svg, attribute, "\"")) {
            CAPTURE(number);
            CHECK(std::stod(number) >= 0.0);
            CHECK(std::stod(number) <= 760.0);
        }
    }
}

TEST_CASE("a dot stands where the firing order meets a mode that swings, in the range only") {
    ModesRecord record = sample::modes();
    // 4 Hz: 12.6 rad/s, below idle; 30 Hz does not swing.
    CHECK(count(svg_interference(record), "class=\"meets\"") == 0);
    for (GearModes& gear : record.gears) gear.modes[1].damped_frequency = 29.0;
    const std::string svg = svg_interference(record);  // 30 Hz: 94 rad/s
    CHECK(count(svg, "class=\"meets\"") == 2);
    CHECK(holds(svg, "mode 2 at 30 Hz meets the firing order at 900 rpm."));
}

TEST_CASE("the text of modes has them all, with speeds outside the range in brackets") {
    const std::string text = modes_text(sample::modes());
    for (const char* piece :
         {"shuffle", "mode 2", "12.0 %", "does not swing", "body.mass = 1500 kg", "(120)",
          "half shaft stiffness +0.15 Hz; engine inertia -0.2 Hz", "common practice, no source"}) {
        CAPTURE(piece);
        CHECK(holds(text, piece));
    }
    CHECK(!holds(text, "\x1b"));
}

TEST_CASE("the JSON of modes holds every list, the CSV one line a mode") {
    const ModesRecord record = sample::modes();
    const auto json = nlohmann::json::parse(modes_json(record));
    CHECK(json["format"] == "damper modes");
    REQUIRE(json["gears"].size() == 2);
    const auto& gear = json["gears"][1];
    CHECK(gear["gear"] == "a/b");
    CHECK(gear["modes"][0]["kinetic_share"].size() == gear["inertias"].size());
    CHECK(gear["modes"][0]["strain_share"].size() == gear["elements"].size());
    CHECK(gear["modes"][0]["critical_speeds"].size() == record.orders.size());
    CHECK(gear["modes"][1]["swings"] == false);
    CHECK(!gear["modes"][1].contains("damping_ratio"));
    std::istringstream lines(modes_csv(record));
    std::size_t seen = 0;
    std::size_t cells = 0;
    for (std::string line; std::getline(lines, line); ++seen) {
        const std::size_t own = count(line, ",");
        if (seen == 0) cells = own;
        CHECK(own == cells);
    }
    CHECK(seen == 8);  // heading, three modes of two gears, one of the slipping clutch
}

TEST_CASE("a name with a comma or quotes stays one cell of the CSV") {
    ModesRecord record = sample::modes();
    record.gears[0].modes[0].name = "a, \"b\"";
    CHECK(holds(modes_csv(record), "neutral,1,\"a, \"\"b\"\"\",4,"));
}

TEST_CASE("modes of a slipping clutch stand by themselves, with the sign of their growth") {
    const std::string text = modes_text(sample::modes());
    CHECK(holds(text, "While the clutch slips"));
    CHECK(holds(text, "friction falling by 0.0060 a m/s"));
    CHECK(holds(text, "25 % (1500 N, 90 N m)"));
    CHECK(holds(text, "judder"));
    CHECK(holds(text, "+0.7"));
    const std::string page = html_modes(sample::modes());
    CHECK(holds(page, "id=\"slipping\""));
    CHECK(holds(page, "&lt;b&gt;disc&lt;/b&gt; 80 %"));
    CHECK_FALSE(holds(page, "<b>disc</b>"));
    ModesRecord none = sample::modes();
    none.slipping.clear();
    CHECK_FALSE(holds(modes_text(none) + html_modes(none), "While the clutch slips"));
}
