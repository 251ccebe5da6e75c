// SPDX-License-Identifier: MIT
#include "libdamper/outputs/number_text.hpp"

#include "libdamper/outputs/grade_text.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <string>
#include <utility>

using namespace damper;

TEST_CASE("a workshop reads rpm and degrees") {
    CHECK(quantity_text(80.0 * std::numbers::pi / 3.0, "rad/s") == "800 rpm");
    CHECK(quantity_text(std::numbers::pi / 6.0, "rad") == "30°");
    CHECK(quantity_text(180.0 / std::numbers::pi, "N.m/rad") == "1 N m/°");
    CHECK(quantity_text(0.0062, "W") == "6.2 mW");
    CHECK(quantity_text(6.2, "W") == "6.2 W");
    CHECK(quantity_text(2.5, "1") == "2.5");
    CHECK(quantity_text(2.5, "furlong") == "2.5 furlong");
}

TEST_CASE("numbers have four digits and no needless exponent") {
    CHECK(number_text(0.0) == "0");
    CHECK(number_text(12345.6) == "12346");
    CHECK(number_text(0.123456) == "0.1235");
    CHECK(number_text(3.1e-8) == "3.1e-08");
    CHECK(number_text(-999.96) == "-1000");
    CHECK(number_text(std::nan("")) == "–");
    CHECK(number_text(INFINITY) == "–");
}

TEST_CASE("limits say which side is good") {
    const auto limit = [](std::string units, double good, double bad) {
        Judgement judgement;
        judgement.units = std::move(units);
        judgement.good = good;
        judgement.bad = bad;
        return limit_text(judgement);
    };
    CHECK(limit("rad/s2", 2.0, 5.0) == "good up to 2, bad above 5 rad/s²");
    CHECK(limit("1", 1.2, 1.0) == "good from 1.2, bad below 1");
    CHECK(margin_text(0.123) == "12 % in hand");
    CHECK(margin_text(-0.02) == "2.0 % beyond");
}
