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

/// Angles of a uniform rotation, from somewhere on.
std::vector<double> turning(std::size_t count, double step) {
    std::vector<double> angle;
    for (std::size_t i = 0; i < count; ++i) {
        angle.push_back(speed * step * static_cast<double>(i));
    }
    return angle;
}

double order_of(const std::vector<double>& values, double step, double order) {
    return order_amplitude(values, turning(values.size(), step), order);
}

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
        CHECK(order_of(values, 5e-4, 2.0) == doctest::Approx(370.0).epsilon(1e-9));
    }
}

TEST_CASE("orders that are not there do not appear") {
    const auto values = sampled({{2.0, 370.0, 0.4}}, 12.0, 5e-4, 4.0);
    for (const double order : {0.5, 1.0, 1.5, 3.0, 4.0}) {
        CAPTURE(order);
        CHECK(order_of(values, 5e-4, order) < 0.37);
    }
}

TEST_CASE("several orders are told apart, and halving the step changes nothing that counts") {
    const std::vector<Line> lines = {{0.5, 20.0, 0.3}, {2.0, 300.0, 1.0}, {4.0, 80.0, -2.0}};
    const auto coarse = sampled(lines, 0.0, 5e-4, 3.0);
    const auto fine = sampled(lines, 0.0, 2.5e-4, 3.0);
    for (const Line& line : lines) {
        CAPTURE(line.order);
        const double a = order_of(coarse, 5e-4, line.order);
        CHECK(std::abs(a - line.amplitude) < 0.3);
        CHECK(std::abs(a - order_of(fine, 2.5e-4, line.order)) < 0.3);
    }
}

TEST_CASE("less than one engine cycle gives nothing") {
    const double cycle = 4.0 * std::numbers::pi / speed;
    const auto values = sampled({{2.0, 370.0, 0.0}}, 0.0, 5e-4, 0.98 * cycle);
    CHECK(order_of(values, 5e-4, 2.0) == 0.0);
    CHECK(order_spectrum("x", "rad/s2", values, turning(values.size(), 5e-4), 8.0).order.empty());
}

TEST_CASE("an order beyond half the sampling frequency gives nothing") {
    const auto values = sampled({{2.0, 370.0, 0.0}}, 0.0, 1e-2, 2.0);
    CHECK(order_of(values, 1e-2, 2.0) > 360.0);
    CHECK(order_of(values, 1e-2, 4.0) == 0.0);
}

TEST_CASE("the amplitude scales with the signal") {
    auto values = sampled({{1.5, 5.0, 0.2}, {3.0, 2.0, 0.9}}, 1.0, 5e-4, 2.0);
    const double before = order_of(values, 5e-4, 1.5);
    for (double& value : values) value *= -3.0;
    CHECK(order_of(values, 5e-4, 1.5) == doctest::Approx(3.0 * before));
}

TEST_CASE("a spectrum lists the half orders up to the highest asked for") {
    const auto values = sampled({{1.5, 5.0, 0.2}}, 1.0, 5e-4, 2.0);
    const auto spectrum =
        order_spectrum("flywheel_speed", "rad/s", values, turning(values.size(), 5e-4), 4.0);
    CHECK(spectrum.signal == "flywheel_speed");
    CHECK(spectrum.units == "rad/s");
    REQUIRE(spectrum.order.size() == 8);
    REQUIRE(spectrum.amplitude.size() == 8);
    CHECK(spectrum.order.front() == 0.5);
    CHECK(spectrum.order.back() == 4.0);
    CHECK(spectrum.amplitude[2] == doctest::Approx(5.0).epsilon(1e-6));
}

TEST_CASE("an order in angle is found however the speed swings, and wherever the angle begins") {
    // v = 40 + 370·cos(2φ + 0.4) with φ = 0.3 + ωt + 0.15·sin(ωt/2): at a mean speed this order
    // would be smeared over its neighbours.
    for (const double begin : {0.3, 1234.5}) {
        std::vector<double> angle, values;
        for (int i = 0; i < 8000; ++i) {
            const double t = 2.5e-4 * i;
            angle.push_back(begin + speed * t + 0.15 * std::sin(0.5 * speed * t));
            values.push_back(40.0 + 370.0 * std::cos(2.0 * angle.back() + 0.4));
        }
        CHECK(order_amplitude(values, angle, 2.0) == doctest::Approx(370.0).epsilon(1e-9));
    }
}

TEST_CASE("a spectrum and a single order are the same numbers") {
    const auto values = sampled({{0.5, 20.0, 0.3}, {3.0, 30.0, 1.0}}, 1.0, 5e-4, 2.0);
    const auto angle = turning(values.size(), 5e-4);
    const auto spectrum = order_spectrum("x", "rad/s2", values, angle, 6.0);
    REQUIRE(spectrum.order.size() == 12);
    for (std::size_t k = 0; k < spectrum.order.size(); ++k) {
        CHECK(spectrum.amplitude[k] == order_amplitude(values, angle, spectrum.order[k]));
    }
}

TEST_CASE("only whole cycles count, also one that ends with the last sample") {
    // A hundred samples a cycle; what follows the last whole cycle is far off.
    const double step = 4.0 * std::numbers::pi / speed / 100.0;
    std::vector<double> values;
    for (int i = 0; i < 200; ++i) {
        values.push_back(5.0 * std::cos(1.5 * speed * step * i));
    }
    CHECK(order_of(values, step, 1.5) == doctest::Approx(5.0).epsilon(1e-12));
    std::vector<double> one(values.begin(), values.begin() + 100);
    CHECK(order_of(one, step, 1.5) == doctest::Approx(5.0).epsilon(1e-12));
    one.pop_back();
    CHECK(order_of(one, step, 1.5) == 0.0);
    values.resize(199);  // the second cycle lacks its last sample
    values.back() = 1e6;
    CHECK(order_of(values, step, 1.5) == doctest::Approx(5.0).epsilon(1e-12));
    values.resize(299, 1e6);
    values[198] = 5.0 * std::cos(1.5 * speed * step * 198);
    values[199] = 5.0 * std::cos(1.5 * speed * step * 199);
    CHECK(order_of(values, step, 1.5) == doctest::Approx(5.0).epsilon(1e-12));
}
