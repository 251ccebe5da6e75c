// SPDX-License-Identifier: MIT
#include "libdamper/signals/spectrum.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <vector>

using damper::order_amplitude;
using damper::order_spectrum;

namespace {

constexpr double speed = 89.0;  // rad/s, does not divide the sampling

struct Line {
    double order, amplitude, phase;
};

std::vector<double> sampled(const std::vector<Line>& lines, double mean, double step,
                            double length) {
    std::vector<double> values;
    for (double t = 0.0; t < length; t = step * static_cast<double>(values.size())) {
        double value = mean;
        for (const Line& line : lines) {
            value += line.amplitude * std::cos(line.order * speed * t + line.phase);
        }
        values.push_back(value);
    }
    return values;
}

}  // namespace

TEST_CASE("a pure order comes back with its amplitude, whatever its phase and the mean value") {
    for (const double phase : {0.0, 0.7, 2.9, -1.3}) {
        CAPTURE(phase);
        const auto values = sampled({{2.0, 370.0, phase}}, 40.0, 5e-4, 1.37);
        CHECK(order_amplitude(values, 5e-4, speed, 2.0) == doctest::Approx(370.0).epsilon(1e-9));
    }
}

TEST_CASE("orders that are not there do not appear") {
    const auto values = sampled({{2.0, 370.0, 0.4}}, 12.0, 5e-4, 4.0);
    for (const double order : {0.5, 1.0, 1.5, 3.0, 4.0}) {
        CAPTURE(order);
        CHECK(order_amplitude(values, 5e-4, speed, order) < 0.37);
    }
}

TEST_CASE("several orders are told apart, and halving the step changes nothing that counts") {
    const std::vector<Line> lines = {{0.5, 20.0, 0.3}, {2.0, 300.0, 1.0}, {4.0, 80.0, -2.0}};
    const auto coarse = sampled(lines, 0.0, 5e-4, 3.0);
    const auto fine = sampled(lines, 0.0, 2.5e-4, 3.0);
    for (const Line& line : lines) {
        CAPTURE(line.order);
        const double a = order_amplitude(coarse, 5e-4, speed, line.order);
        CHECK(std::abs(a - line.amplitude) < 0.3);
        CHECK(std::abs(a - order_amplitude(fine, 2.5e-4, speed, line.order)) < 0.3);
    }
}

TEST_CASE("less than one engine cycle gives nothing") {
    const double cycle = 4.0 * std::numbers::pi / speed;
    const auto values = sampled({{2.0, 370.0, 0.0}}, 0.0, 5e-4, 0.98 * cycle);
    CHECK(order_amplitude(values, 5e-4, speed, 2.0) == 0.0);
    CHECK(order_spectrum("x", "rad/s2", values, 5e-4, speed, 8.0).order.empty());
}

TEST_CASE("an order beyond half the sampling frequency gives nothing") {
    const auto values = sampled({{2.0, 370.0, 0.0}}, 0.0, 1e-2, 2.0);
    CHECK(order_amplitude(values, 1e-2, speed, 2.0) > 360.0);
    CHECK(order_amplitude(values, 1e-2, speed, 4.0) == 0.0);
}

TEST_CASE("the amplitude scales with the signal") {
    auto values = sampled({{1.5, 5.0, 0.2}, {3.0, 2.0, 0.9}}, 1.0, 5e-4, 2.0);
    const double before = order_amplitude(values, 5e-4, speed, 1.5);
    for (double& value : values) value *= -3.0;
    CHECK(order_amplitude(values, 5e-4, speed, 1.5) == doctest::Approx(3.0 * before));
}

TEST_CASE("a spectrum lists the half orders up to the highest asked for") {
    const auto values = sampled({{1.5, 5.0, 0.2}}, 1.0, 5e-4, 2.0);
    const auto spectrum = order_spectrum("flywheel_speed", "rad/s", values, 5e-4, speed, 4.0);
    CHECK(spectrum.signal == "flywheel_speed");
    CHECK(spectrum.units == "rad/s");
    REQUIRE(spectrum.order.size() == 8);
    REQUIRE(spectrum.amplitude.size() == 8);
    CHECK(spectrum.order.front() == 0.5);
    CHECK(spectrum.order.back() == 4.0);
    CHECK(spectrum.amplitude[2] == doctest::Approx(5.0).epsilon(1e-6));
}
