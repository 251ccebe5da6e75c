// SPDX-License-Identifier: MIT
#include "libdamper/signals/extrema.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <vector>

using damper::derivative;
using damper::find_extrema;

namespace {

constexpr double pi = std::numbers::pi;

template <class F>
std::vector<double> sampled(F f, double step, std::size_t count) {
    std::vector<double> values;
    for (std::size_t i = 0; i < count; ++i) values.push_back(f(step * static_cast<double>(i)));
    return values;
}

}  // namespace

TEST_CASE("tops and bottoms of a sine are found between the samples") {
    const double step = 0.013;
    const auto values = sampled([](double t) { return std::sin(2.0 * pi * t); }, step, 300);
    const auto points = find_extrema(values, 0.1);
    REQUIRE(points.size() == 8);  // 3.9 periods: the last top or bottom has not been left yet
    for (std::size_t k = 0; k < points.size(); ++k) {
        CAPTURE(k);
        CHECK(points[k].top == (k % 2 == 0));
        CHECK(std::abs(points[k].position * step - (0.25 + 0.5 * static_cast<double>(k))) < 2e-4);
        CHECK(std::abs(std::abs(points[k].value) - 1.0) < 1e-4);
    }
}

TEST_CASE("ripple smaller than the least swing is passed over") {
    const auto f = [](double t) { return std::sin(2.0 * pi * t) + 0.05 * std::sin(60.0 * pi * t); };
    const auto values = sampled(f, 1e-3, 4000);
    CHECK(find_extrema(values, 0.2).size() == 8);
    CHECK(find_extrema(values, 0.0).size() > 40);
}

TEST_CASE("a signal that only rises has no turning point") {
    CHECK(find_extrema(sampled([](double t) { return t; }, 0.1, 50), 0.01).empty());
    CHECK(find_extrema(std::vector<double>{1.0, 2.0}, 0.0).empty());
}

TEST_CASE("the derivative is exact for a parabola and for a cubic inside") {
    const auto parabola = sampled([](double t) { return 3.0 * t * t - 2.0 * t; }, 0.1, 30);
    const auto d = derivative(parabola, 0.1);
    for (std::size_t i = 0; i < d.size(); ++i) {
        CHECK(d[i] == doctest::Approx(0.6 * static_cast<double>(i) - 2.0));
    }
    const auto cubic = sampled([](double t) { return t * t * t; }, 0.1, 30);
    const auto e = derivative(cubic, 0.1);
    for (std::size_t i = 2; i + 2 < e.size(); ++i) {
        const double t = 0.1 * static_cast<double>(i);
        CHECK(e[i] == doctest::Approx(3.0 * t * t));
    }
}

TEST_CASE("halving the step divides the error of the derivative by sixteen") {
    const auto error = [](double step) {
        const auto values = sampled([](double t) { return std::sin(t); }, step, 101);
        const auto d = derivative(values, step);
        return std::abs(d[20] - std::cos(20.0 * step));
    };
    const double at = 0.2;  // the same instant t = 4 in both
    const auto fine = sampled([](double t) { return std::sin(t); }, at / 2.0, 101);
    const double fine_error = std::abs(derivative(fine, at / 2.0)[40] - std::cos(4.0));
    CHECK(error(at) / fine_error == doctest::Approx(16.0).epsilon(0.05));
}
