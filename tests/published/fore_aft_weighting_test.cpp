// SPDX-License-Identifier: MIT
// ISO 2631-1:1997, Mechanical vibration and shock — Evaluation of human exposure to whole-body
// vibration, table of the weighting Wd over one-third octaves (values read in a public copy of the
// table, the standard itself was not at hand). Rows are nominal one-third octaves; the table holds
// for their exact centres 10^(n/10).
#include "libdamper/signals/fore_aft_weighting.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <vector>

using damper::gain;
using damper::vibration_dose_value;
using damper::wd_filter;
using damper::wd_gain;
using damper::weight_wd;

namespace {

constexpr double pi = std::numbers::pi;

struct Row {
    int n;        // centre frequency 10^(n/10) Hz
    double gain;  // table
};
const std::vector<Row> table = {{-3, 0.854}, {0, 1.011},  {3, 0.891},  {4, 0.773},
                                {6, 0.514},  {7, 0.408},  {8, 0.323},  {9, 0.255},
                                {10, 0.202}, {12, 0.127}, {15, 0.063}, {18, 0.0295}};

std::vector<double> sine(double amplitude, double frequency, double step, double length) {
    std::vector<double> values;
    const auto count = static_cast<std::size_t>(std::llround(length / step)) + 1;
    for (std::size_t i = 0; i < count; ++i) {
        values.push_back(amplitude *
                         std::sin(2.0 * pi * frequency * step * static_cast<double>(i)));
    }
    return values;
}

}  // namespace

TEST_CASE("the weighting Wd follows the table of ISO 2631-1:1997 within 0.5 %") {
    for (const Row& row : table) {
        const double frequency = std::pow(10.0, row.n / 10.0);
        CAPTURE(frequency);
        CHECK(wd_gain(frequency) == doctest::Approx(row.gain).epsilon(0.005));
        for (const double step : {2e-4, 1e-4}) {
            CHECK(gain(wd_filter(step), frequency, step) ==
                  doctest::Approx(row.gain).epsilon(0.005));
        }
    }
}

TEST_CASE("a weighted sine has the amplitude of the table, also when sampled at 1 ms") {
    for (const double step : {1e-3, 5e-4}) {
        for (const Row& row : table) {
            const double frequency = std::pow(10.0, row.n / 10.0);
            CAPTURE(step);
            CAPTURE(frequency);
            const auto weighted = weight_wd(sine(1.0, frequency, step, 20.0), step);
            double square = 0.0;  // over whole periods at the end, after the transient
            const double periods = std::floor(8.0 * frequency);
            const auto count =
                static_cast<std::size_t>(std::llround(periods / frequency / weighted.step));
            for (std::size_t i = weighted.values.size() - count; i < weighted.values.size(); ++i) {
                square += weighted.values[i] * weighted.values[i];
            }
            const double amplitude = std::sqrt(2.0 * square / static_cast<double>(count));
            CHECK(amplitude == doctest::Approx(row.gain).epsilon(0.005));
        }
    }
}

TEST_CASE("the digital weighting closes in on the defined one as the sampling is refined") {
    double before = 1.0;
    for (const double step : {8e-4, 4e-4, 2e-4, 1e-4}) {
        double worst = 0.0;
        for (double f = 0.1; f < 80.0; f *= 1.1) {
            worst = std::max(worst, std::abs(gain(wd_filter(step), f, step) / wd_gain(f) - 1.0));
        }
        CHECK(worst < before);
        before = worst;
    }
    CHECK(before < 1e-3);
}

TEST_CASE("the vibration dose value of a sine is (3/8)^¼ a T^¼") {
    // Follows from the mean of sin⁴ over whole periods, 3/8: 1.391579 m/s^1.75 for 1 m/s2, 10 s.
    const auto values = sine(1.0, 4.0, 1e-3, 10.0);
    CHECK(vibration_dose_value(values, 1e-3) == doctest::Approx(1.391579).epsilon(1e-5));
    CHECK(vibration_dose_value(sine(2.5, 4.0, 1e-3, 10.0), 1e-3) ==
          doctest::Approx(2.5 * 1.391579).epsilon(1e-5));
    CHECK(vibration_dose_value(sine(1.0, 4.0, 1e-3, 3.0), 1e-3) ==
          doctest::Approx(std::pow(0.375 * 3.0, 0.25)).epsilon(1e-5));
}

TEST_CASE("constant acceleration is not felt") {
    const std::vector<double> steady(3000, 1.7);
    const auto weighted = weight_wd(steady, 1e-3);
    CHECK(weighted.refinement == 5);
    for (const double a : weighted.values) CHECK(std::abs(a) < 1e-9);
}
