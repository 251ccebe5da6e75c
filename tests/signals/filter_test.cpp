// SPDX-License-Identifier: MIT
#include "libdamper/signals/filter.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <vector>

using damper::butterworth_low_pass;
using damper::filter_forward;
using damper::gain;
using damper::low_pass_zero_phase;

namespace {

constexpr double pi = std::numbers::pi;

std::vector<double> sine(double frequency, double step, double length) {
    std::vector<double> values;
    const auto count = static_cast<std::size_t>(length / step);
    for (std::size_t i = 0; i < count; ++i) {
        values.push_back(std::sin(2.0 * pi * frequency * step * static_cast<double>(i)));
    }
    return values;
}

double largest(const std::vector<double>& values, std::size_t from, std::size_t to) {
    double most = 0.0;
    for (std::size_t i = from; i < to; ++i) most = std::max(most, std::abs(values[i]));
    return most;
}

}  // namespace

TEST_CASE("a low-pass has the gain 1/√2 at its corner, 1 at rest and falls ever after") {
    for (const int order : {2, 4, 6}) {
        for (const double corner : {10.0, 30.0, 180.0}) {
            CAPTURE(order);
            CAPTURE(corner);
            const auto filter = butterworth_low_pass(order, corner, 1e-3);
            CHECK(gain(filter, corner, 1e-3) == doctest::Approx(1.0 / std::sqrt(2.0)));
            CHECK(gain(filter, 0.0, 1e-3) == doctest::Approx(1.0));
            double before = 1.0;
            for (double f = 1.0; f < 499.0; f += 1.0) {
                const double now = gain(filter, f, 1e-3);
                CHECK(now < before + 1e-12);
                before = now;
            }
        }
    }
}

TEST_CASE("well below half the sampling frequency the gain is Butterworth's 1/√(1 + (f/fc)^2n)") {
    for (const int order : {2, 4}) {
        const auto filter = butterworth_low_pass(order, 10.0, 1e-4);
        for (const double f : {1.0, 5.0, 20.0, 60.0}) {
            CAPTURE(f);
            const double expected = 1.0 / std::sqrt(1.0 + std::pow(f / 10.0, 2.0 * order));
            CHECK(gain(filter, f, 1e-4) == doctest::Approx(expected).epsilon(2e-3));
        }
    }
}

TEST_CASE("a constant passes a low-pass from the first sample on") {
    const std::vector<double> values(200, 3.5);
    for (const double y : filter_forward(butterworth_low_pass(4, 10.0, 1e-3), values)) {
        CHECK(y == doctest::Approx(3.5).epsilon(1e-9));
    }
}

TEST_CASE("a filtered sine has the amplitude that the gain promises") {
    const auto filter = butterworth_low_pass(2, 10.0, 1e-3);
    const auto out = filter_forward(filter, sine(12.5, 1e-3, 4.0));
    CHECK(largest(out, 3000, 3960) == doctest::Approx(gain(filter, 12.5, 1e-3)).epsilon(1e-3));
}

TEST_CASE("both ways together the gain is 1/√2 at the corner and the phase is not shifted") {
    const auto in = sine(12.5, 1e-3, 4.0);
    const auto out = low_pass_zero_phase(in, 1e-3, 12.5);
    for (std::size_t i = 1000; i < 3000; i += 7) {
        CHECK(std::abs(out[i] - in[i] / std::sqrt(2.0)) < 1e-6);
    }
}

TEST_CASE("both ways a straight line stays as it is, ends included") {
    std::vector<double> line;
    for (int i = 0; i < 2000; ++i) line.push_back(4.0 - 0.01 * i);
    const auto out = low_pass_zero_phase(line, 1e-3, 10.0);
    for (std::size_t i = 0; i < line.size(); ++i) CHECK(std::abs(out[i] - line[i]) < 1e-6);
}

TEST_CASE("impossible filters are refused, and a corner beyond the sampling leaves values alone") {
    CHECK_THROWS_AS(butterworth_low_pass(3, 10.0, 1e-3), damper::ModelError);
    CHECK_THROWS_AS(butterworth_low_pass(2, 500.0, 1e-3), damper::ModelError);
    CHECK_THROWS_AS(butterworth_low_pass(2, 0.0, 1e-3), damper::ModelError);
    CHECK_THROWS_AS(butterworth_low_pass(2, 10.0, 0.0), damper::ModelError);
    const auto in = sine(5.0, 1e-2, 1.0);
    CHECK(low_pass_zero_phase(in, 1e-2, 60.0) == in);
}
