// SPDX-License-Identifier: MIT
#include "libdamper/clutch/diaphragm.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <initializer_list>

using namespace damper;

namespace {

constexpr double mm = 1e-3;
constexpr double steel = 206e9;  // Pa, with ν = 0.3 as in DIN 2093

struct Disc {
    double De, Di, t, h0;  // mm
    double s;              // mm, tabulated; 0: 0.75·h0
    double load;           // N, tabulated
};

double formula(const Disc& d) {
    const double s = d.s > 0.0 ? d.s : 0.75 * d.h0;
    return disc_spring_load(d.De * mm, d.Di * mm, d.t * mm, d.h0 * mm, steel, 0.3, s * mm);
}

/// The same cone as a diaphragm spring with its circles on its rims.
DiaphragmSpring cone(double De, double Di, double t, double h0) {
    return {.outer = 0.5 * De * mm,
            .inner = 0.5 * Di * mm,
            .outer_circle = 0.5 * De * mm,
            .inner_circle = 0.5 * Di * mm,
            .thickness = t * mm,
            .cone_height = h0 * mm,
            .modulus = steel,
            .poisson = 0.3};
}

}  // namespace

TEST_CASE("the formula of EN 16984 gives the loads of DIN 2093, series A") {
    // DIN 2093, Disc springs – Quality specifications, Dimensions, series A, as printed by a spring
    // maker; the deflection is rounded to 0.01 mm there and taken as printed, and loads to three
    // digits: half a per cent.
    constexpr Disc table[] = {
        {8, 4.2, 0.4, 0.2, 0.15, 210},      {10, 5.2, 0.5, 0.25, 0.19, 329},
        {12.5, 6.2, 0.7, 0.3, 0.23, 673},   {14, 7.2, 0.8, 0.3, 0.23, 813},
        {16, 8.2, 0.9, 0.35, 0.26, 1000},   {18, 9.2, 1.0, 0.4, 0.30, 1250},
        {20, 10.2, 1.1, 0.45, 0.34, 1530},  {22.5, 11.2, 1.25, 0.5, 0.38, 1950},
        {25, 12.2, 1.5, 0.55, 0.41, 2910},  {28, 14.2, 1.5, 0.65, 0.49, 2850},
        {31.5, 16.3, 1.75, 0.7, 0.53, 3900}};
    for (const Disc& disc : table) {
        CAPTURE(disc.De);
        CHECK(formula(disc) == doctest::Approx(disc.load).epsilon(0.005));
    }
}

TEST_CASE("the formula of EN 16984 gives the loads of DIN 2093, series B and C") {
    // The same tables, loads at s = 0.75·h0, recalled; deflections are rounded in the tables, which
    // alone makes up to 2 % at the small sizes.
    constexpr Disc table[] = {{8, 4.2, 0.3, 0.25, 0, 119},      {10, 5.2, 0.4, 0.3, 0, 213},
                              {12.5, 6.2, 0.5, 0.35, 0, 291},   {16, 8.2, 0.6, 0.45, 0, 412},
                              {20, 10.2, 0.8, 0.55, 0, 745},    {25, 12.2, 0.9, 0.7, 0, 868},
                              {31.5, 16.3, 1.25, 0.9, 0, 1920}, {40, 20.4, 1.5, 1.15, 0, 2620},
                              {50, 25.4, 2, 1.4, 0, 4760},      {63, 31, 2.5, 1.75, 0, 7180},
                              {80, 41, 3, 2.3, 0, 10500},       {100, 51, 3.5, 2.8, 0, 13100},
                              {125, 64, 5, 3.5, 0, 30000},      {8, 4.2, 0.2, 0.25, 0, 39},
                              {10, 5.2, 0.25, 0.3, 0, 58},      {12.5, 6.2, 0.35, 0.45, 0, 152},
                              {14, 7.2, 0.35, 0.45, 0, 123},    {16, 8.2, 0.4, 0.5, 0, 155},
                              {18, 9.2, 0.45, 0.6, 0, 214},     {20, 10.2, 0.5, 0.65, 0, 254},
                              {25, 12.2, 0.7, 0.9, 0, 601},     {31.5, 16.3, 0.8, 1.05, 0, 687},
                              {40, 20.4, 1, 1.3, 0, 1020},      {50, 25.4, 1.25, 1.6, 0, 1550},
                              {63, 31, 1.8, 2.35, 0, 4240},     {80, 41, 2.25, 2.95, 0, 6610},
                              {100, 51, 2.7, 3.5, 0, 8610},     {125, 64, 3.5, 4.5, 0, 15400}};
    for (const Disc& disc : table) {
        CAPTURE(disc.De);
        CAPTURE(disc.t);
        CHECK(formula(disc) == doctest::Approx(disc.load).epsilon(0.02));
    }
}

TEST_CASE("Almen and László lie within one per cent of EN 16984 up to a ratio of two") {
    // Both have the same bracket; K₁ of the standard against 6/(π·ln δ)·((δ − 1)/δ)² of the paper
    // (Trans. ASME 58(4), 1936, 305–314).
    for (const double ratio : {1.3, 1.6, 2.0}) {
        CAPTURE(ratio);
        const DiaphragmSpring spring = cone(100.0 * ratio, 100.0, 3.0, 4.0);
        for (const double s : {0.5, 1.5, 3.0, 4.0, 6.0}) {
            const double standard = disc_spring_load(100.0 * ratio * mm, 100.0 * mm, 3.0 * mm,
                                                     4.0 * mm, steel, 0.3, s * mm);
            CHECK(spring_load(spring, s * mm) == doctest::Approx(standard).epsilon(0.009));
        }
    }
}

TEST_CASE("a flat disc spring takes E·t³·h0·4/((1 − ν²)·K₁·De²)") {
    // EN 16984 with s = h0: the bracket is 1.
    const double d = 2.0;
    const double K1 = 0.25 / 3.14159265358979 / (3.0 - 2.0 / std::log(d));
    const double flat = 4.0 * steel / 0.91 * std::pow(3.0 * mm, 3) * 4.0 * mm / (K1 * 0.01);
    CHECK(disc_spring_load(0.1, 0.05, 3.0 * mm, 4.0 * mm, steel, 0.3, 4.0 * mm) ==
          doctest::Approx(flat).epsilon(1e-9));
}

TEST_CASE("extremes of the load over h/t, with loads in units of the linear term") {
    // Zeros of the derivative of f(s) = s·((h − s)(h − s/2) + 1), t = 1: s = h ∓ √((h² − 2)/3).
    struct Row {
        double h, highest, lowest, most, flat, least;
    };
    constexpr Row rows[] = {{1.5, 1.21132, 1.78868, 1.52406, 1.50000, 1.47594},
                            {1.6, 1.16795, 2.03205, 1.68065, 1.60000, 1.51935},
                            {1.8, 1.15709, 2.44291, 2.06574, 1.80000, 1.53426},
                            {2.0, 1.18350, 2.81650, 2.54433, 2.00000, 1.45567},
                            {2.2, 1.22703, 3.17297, 3.12108, 2.20000, 1.27892}};
    for (const Row& row : rows) {
        CAPTURE(row.h);
        const DiaphragmSpring spring = cone(200.0, 150.0, 1.0, row.h);
        const double unit = spring_load(spring, row.h * mm) / row.h;  // load at flat is h units
        const LoadExtremes extremes = load_extremes(spring);
        REQUIRE(extremes.exist);
        CHECK(extremes.highest / mm == doctest::Approx(row.highest).epsilon(1e-5));
        CHECK(extremes.lowest / mm == doctest::Approx(row.lowest).epsilon(1e-5));
        CHECK(spring_load(spring, extremes.highest) / unit ==
              doctest::Approx(row.most).epsilon(1e-5));
        CHECK(spring_load(spring, extremes.lowest) / unit ==
              doctest::Approx(row.least).epsilon(1e-5));
        CHECK(flat_deflection(spring) == doctest::Approx(row.h * mm));
    }
}

TEST_CASE("up to a cone of √2 thicknesses the load only rises, above 2·√2 it falls below zero") {
    const double root = std::sqrt(2.0);
    CHECK_FALSE(load_extremes(cone(200.0, 150.0, 1.0, 0.9999 * root)).exist);
    CHECK(load_extremes(cone(200.0, 150.0, 1.0, 1.0001 * root)).exist);
    for (const double h : {0.999, 1.001}) {
        const DiaphragmSpring spring = cone(200.0, 150.0, 1.0, 2.0 * root * h);
        const double least = spring_load(spring, load_extremes(spring).lowest);
        CHECK((h < 1.0 ? least > 0.0 : least < 0.0));
    }
}

TEST_CASE("a clutch spring with circles of its own, as text books have it") {
    // Load circles in the formula of Almen and László; worked by hand for an invented car spring.
    const DiaphragmSpring spring{.outer = 108 * mm,
                                 .inner = 86 * mm,
                                 .outer_circle = 106.5 * mm,
                                 .inner_circle = 87.5 * mm,
                                 .thickness = 2.4 * mm,
                                 .cone_height = 4.2 * mm,
                                 .modulus = steel,
                                 .poisson = 0.3};
    const LoadExtremes extremes = load_extremes(spring);
    CHECK(extremes.highest / mm == doctest::Approx(2.39375).epsilon(1e-5));
    CHECK(flat_deflection(spring) / mm == doctest::Approx(3.62727).epsilon(1e-5));
    CHECK(extremes.lowest / mm == doctest::Approx(4.86079).epsilon(1e-5));
    CHECK(spring_load(spring, extremes.highest) == doctest::Approx(4201.88).epsilon(1e-5));
    CHECK(spring_load(spring, flat_deflection(spring)) == doctest::Approx(3750.20).epsilon(1e-5));
    CHECK(spring_load(spring, extremes.lowest) == doctest::Approx(3298.52).epsilon(1e-5));
    const double set = 0.9 * flat_deflection(spring);
    const double wear[] = {0.0, 0.5, 1.0, 1.5, 2.0};
    const double load[] = {3943.69, 4146.79, 4194.18, 3995.62, 3460.85};
    for (int i = 0; i < 5; ++i) {
        CHECK(spring_load(spring, set - wear[i] * mm) == doctest::Approx(load[i]).epsilon(1e-5));
    }
}
