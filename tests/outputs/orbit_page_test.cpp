// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_orbit.hpp"

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

TEST_CASE("the map of orders is empty over a gap and full on the curve") {
    OrbitRecord record = sample::orbit();
    // From 100 to 400 rad/s in 682 units: the piece below the gap ends at 200, a third across.
    for (const std::string& rect : between(svg_order_map(record, 2), "y=\"", "/>")) {
        CAPTURE(rect);
        CHECK(!holds(rect, "nan"));
    }
    double widest = 0.0;
    for (const std::string& x : between(svg_order_map(record, 2), "\" x=\"", "\"")) {
        widest = std::max(widest, std::stod(x));
    }
    const double with_gap = widest;
    record.gaps.clear();
    std::size_t rects = between(svg_order_map(record, 2), "fill-opacity=\"", "\"").size();
    CHECK(with_gap < 748.0);
    CHECK(rects > between(svg_order_map(sample::orbit(), 2), "fill-opacity=\"", "\"").size());
}
