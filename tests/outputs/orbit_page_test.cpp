// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_orbit.hpp"
#include "libdamper/outputs/orbit_text.hpp"

#include "tests/outputs/scan.hpp"
#include "tests/support/sample_orbit.hpp"

#include <doctest/doctest.h>
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
         {"between 1432.4 and 1909.9 rpm", "No curve from 2005 to 3724 rpm",
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
