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

TEST_CASE("a number of a table has eight columns at most and at most four significant digits") {
    for (const double value : {0.00070123, -0.000123456, 3.14159265, -9999.6, 123456.7, 1.23456e-9,
                               -1.23456e-9, 8.7654321e12, 0.012345}) {
        CAPTURE(value);
        CHECK(table_number(value).size() <= 8);
    }
    CHECK(table_number(0.00070123) == "0.0007");
    CHECK(table_number(62.0312) == "62.03");
    CHECK(table_number(0.0) == "0");
}

TEST_CASE("what is far below the figure it is held against is not shown as a value") {
    CHECK(table_number(1e-6, 10.0) == "< 0.001");
    CHECK(table_number(-1e-6, -10.0) == "< 0.001");
    CHECK(table_number(0.0011, 10.0) == "0.0011");
    CHECK(table_number(0.0, 10.0) == "0");
}

TEST_CASE("the dose of vibration has its unit, other measures that of their values") {
    CHECK(measure_shown_as("vibration_dose_value", "1").units == "m/s^1.75");
    CHECK(measure_shown_as("transfer", "1").units.empty());
    CHECK(measure_shown_as("impact_energy_rate", "W", 0.01).units == "mW");
}
