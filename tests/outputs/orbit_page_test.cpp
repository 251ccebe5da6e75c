// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_orbit.hpp"
#include "libdamper/outputs/orbit_text.hpp"

#include "tests/outputs/scan.hpp"
#include "tests/support/sample_orbit.hpp"

#include <doctest/doctest.h>
#include <numbers>
#include <set>
#include <string>

using namespace damper;

namespace {

bool holds(const std::string& text, const std::string& piece) {
    return text.find(piece) != std::string::npos;
}

}  // namespace

TEST_CASE("the page of motions runs no script, and names from files cannot become part of it") {
    const std::string page = html_orbit(sample::orbit());
    for (const char* piece : {"<script", "<i>", "<b>", "http:", "https:", " style=\""}) {
        CAPTURE(piece);
        CHECK(!holds(page, piece));
    }
    std::set<std::string> seen;
    for (const std::string& id : between(page, " id=\"", "\"")) {
        CAPTURE(id);
        CHECK(seen.insert(id).second);
    }
    CHECK(seen.size() >= 6);
}

TEST_CASE("the page of motions tells jumps, gaps, stability and runs that ended early") {
    const std::string page = html_orbit(sample::orbit());
    for (const char* piece :
         {"differ from 1432 to 1910 rpm", "No curve from 2005 to 3724 rpm",
          "3 motions were found; 1 are unstable, of 1 it is not known", "ended"}) {
        CAPTURE(piece);
        CHECK(holds(page, piece));
    }
    OrbitRecord none = sample::orbit();
    none.points.clear();
    CHECK(holds(html_orbit(none), "0 motions were found"));
}

TEST_CASE("the page draws unstable parts dashed, and only where there are any") {
    OrbitRecord record = sample::orbit();
    CHECK(holds(html_orbit(record), "Gearbox input, unstable"));
    for (OrbitPoint& point : record.points) point.stable = point.judged;
    CHECK(!holds(html_orbit(record), "Gearbox input, unstable"));
}

TEST_CASE("text, data and page say which motions were found by shooting") {
    OrbitRecord record = sample::orbit();
    CHECK(holds(html_orbit(record), "2 of them were found by harmonic balance, 1 by shooting"));
    CHECK(holds(orbit_text(record), "no, shot, 2 periods"));
    CHECK(holds(orbit_text(record), "1 of 3 motions were found by shooting"));
    CHECK(holds(orbit_json(record), "\"method\": \"shooting\""));
    CHECK(holds(orbit_csv(record), ",shooting,2,"));
    CHECK(holds(orbit_csv(record), ",balance,1,"));
    record.points.pop_back();
    CHECK(!holds(html_orbit(record), "shooting"));
    CHECK(!holds(orbit_text(record), "shot"));
}

TEST_CASE("the map of orders shows less where a gap is than without it") {
    OrbitRecord record = sample::orbit();
    const auto rects = [&] {
        return between(svg_order_map(record, 2), "fill-opacity=\"", "\"").size();
    };
    const std::size_t with_gap = rects();
    record.gaps.clear();
    CHECK(rects() > with_gap);
}

TEST_CASE("a curve over a key is told in the key's own unit, in text, page and data") {
    OrbitRecord record = sample::orbit();
    record.key = "disc.<i>x</i>";
    record.key_units = "N.m";
    record.engine_speed = 80.0 * std::numbers::pi / 3.0;
    const std::string text = orbit_text(record);
    CHECK(holds(text, "Steady motion over disc.<i>x</i>"));
    CHECK(holds(text, "800 rpm; disc.<i>x</i> from 100 to 400 N m"));
    CHECK(holds(text, "No curve from 210 to 390 N m"));
    const std::string page = html_orbit(record);
    CHECK(holds(page, "disc.&lt;i&gt;x&lt;/i&gt;"));
    CHECK(holds(page, "No curve from 210 to 390 N m"));
    CHECK_FALSE(holds(page, "<i>x</i>"));
    CHECK_FALSE(holds(page, "Engine speed in rpm"));
    CHECK(orbit_csv(record).starts_with("disc__i_x__i__N_m,engine_speed_rad_s,"));
    CHECK(holds(orbit_json(record), "\"parameter\": \"N.m\""));
    record.key_multiplies = true;
    record.key_units = std::string("1");
    CHECK(holds(orbit_text(record), "from 100 to 400 times what the files say"));
}
