// SPDX-License-Identifier: MIT
#include "libdamper/clutch/capacity.hpp"

#include <doctest/doctest.h>

using namespace damper;

TEST_CASE("uniform wear never holds more than uniform pressure, and both agree on a thin ring") {
    for (const double d : {0.05, 0.1, 0.15, 0.19}) {
        CHECK(friction_radius(0.2, d, PressureSpread::uniform_wear) <
              friction_radius(0.2, d, PressureSpread::uniform_pressure));
    }
    CHECK(friction_radius(0.2, 0.1999999, PressureSpread::uniform_pressure) ==
          doctest::Approx(friction_radius(0.2, 0.1999999, PressureSpread::uniform_wear)));
    // A full disc: two thirds of its radius.
    CHECK(friction_radius(0.2, 0.0, PressureSpread::uniform_pressure) ==
          doctest::Approx(2.0 / 3.0 * 0.1));
}

TEST_CASE("a factor curve is straight between its points, constant outside, 1 without any") {
    CHECK(FactorCurve{}.at(400.0) == 1.0);
    const FactorCurve curve{{300.0, 400.0, 500.0}, {1.0, 0.9, 0.5}};
    CHECK(curve.at(0.0) == 1.0);
    CHECK(curve.at(300.0) == 1.0);
    CHECK(curve.at(350.0) == doctest::Approx(0.95));
    CHECK(curve.at(400.0) == doctest::Approx(0.9));
    CHECK(curve.at(475.0) == doctest::Approx(0.6));
    CHECK(curve.at(900.0) == 0.5);
}
