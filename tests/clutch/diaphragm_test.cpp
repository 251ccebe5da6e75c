// SPDX-License-Identifier: MIT
#include "libdamper/clutch/diaphragm.hpp"

#include "libdamper/clutch/wear.hpp"

#include "tests/clutch/some_clutch.hpp"

#include <cmath>
#include <doctest/doctest.h>

using namespace damper;

TEST_CASE("the rate is the slope of the load, the energy its integral") {
    const DiaphragmSpring spring = some_spring();
    const double step = 1e-7;
    for (const double x : {0.5e-3, 2e-3, 3.6e-3, 5e-3}) {
        CAPTURE(x);
        const double slope =
            (spring_load(spring, x + step) - spring_load(spring, x - step)) / (2.0 * step);
        CHECK(spring_rate(spring, x) == doctest::Approx(slope).epsilon(1e-7));
        const double gained =
            (spring_energy(spring, x + step) - spring_energy(spring, x - step)) / (2.0 * step);
        CHECK(spring_load(spring, x) == doctest::Approx(gained).epsilon(1e-7));
    }
    CHECK(spring_energy(spring, 0.0) == 0.0);
}

TEST_CASE("the load goes with the modulus and the state of the spring, and with the fourth power") {
    DiaphragmSpring spring = some_spring();
    const double load = spring_load(spring, 3e-3);
    spring.factor = 0.9;
    CHECK(spring_load(spring, 3e-3) == doctest::Approx(0.9 * load));
    spring.factor = 1.0;
    // Twice as thick and high, pressed twice as far: sixteen times the load.
    spring.thickness *= 2.0;
    spring.cone_height *= 2.0;
    CHECK(spring_load(spring, 6e-3) == doctest::Approx(16.0 * load));
}

TEST_CASE("wear is counted to the first place at which the load is too small") {
    const DiaphragmSpring spring = some_spring();
    const LoadExtremes extremes = load_extremes(spring);
    REQUIRE(extremes.exist);
    const double most = spring_load(spring, extremes.highest);
    for (const double set : {1.5e-3, 3.0e-3, 4.0e-3, extremes.lowest + 0.5e-3}) {
        CAPTURE(set);
        for (const double share : {0.2, 0.6, 0.8, 0.95}) {
            CAPTURE(share);
            const double least = share * most;
            // By brute force, in steps of a tenth of a micrometre.
            double wear = 0.0;
            while (wear < set && spring_load(spring, set - wear) >= least) wear += 1e-7;
            CHECK(std::abs(wear_until(spring, set, least) - wear) <= 2e-7);
        }
    }
    CHECK(wear_until(spring, 3e-3, 2.0 * most) == 0.0);
    CHECK(wear_until(spring, 3e-3, 0.0) == 3e-3);
}

TEST_CASE("a tolerance band holds its load, and the worst case holds the root sum") {
    const DiaphragmSpring spring = some_spring();
    const SpringTolerance all{2e-5, 8e-5, 1.5e-4, 0.01};
    const LoadBand band = load_band(spring, 3.6e-3, all);
    CHECK(band.worst_low < band.root_sum_low);
    CHECK(band.root_sum_low < band.nominal);
    CHECK(band.nominal < band.root_sum_high);
    CHECK(band.root_sum_high < band.worst_high);
    // One tolerance alone: both are the same, and the modulus is linear.
    const LoadBand modulus = load_band(spring, 3.6e-3, {0.0, 0.0, 0.0, 0.02});
    CHECK(modulus.root_sum_low == doctest::Approx(0.98 * modulus.nominal));
    CHECK(modulus.worst_low == doctest::Approx(0.98 * modulus.nominal));
    CHECK(modulus.root_sum_high == doctest::Approx(1.02 * modulus.nominal));
    const LoadBand none = load_band(spring, 3.6e-3, {});
    CHECK(none.worst_low == none.nominal);
    CHECK(none.root_sum_high == none.nominal);
}
