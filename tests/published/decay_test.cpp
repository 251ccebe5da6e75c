// SPDX-License-Identifier: MIT
// Closed forms of the decaying oscillator and of order analysis, as in any textbook of vibration,
// for instance S. S. Rao, Mechanical Vibrations, chapter 2 (logarithmic decrement; chapter
// recalled, not read in the source). The figures were computed from the closed forms.
#include "libdamper/signals/damped_sine.hpp"
#include "libdamper/signals/extrema.hpp"
#include "libdamper/signals/spectrum.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <vector>

using namespace damper;

namespace {

constexpr double pi = std::numbers::pi;

}  // namespace

TEST_CASE("a damping ratio of 0.1 has the decrement 0.631484 and the peak ratio 0.531802") {
    const double sigma = 0.1 * 2.0 * pi * 2.3;
    const double wd = std::sqrt(0.99) * 2.0 * pi * 2.3;
    std::vector<double> values;
    for (int i = 0; i < 3000; ++i) {
        const double t = 1e-3 * i;
        values.push_back(0.7 + 1.5 * std::exp(-sigma * t) * std::cos(wd * t));
    }
    const auto fit = fit_damped_sine(values, 1e-3, 0.5, 15.0);
    REQUIRE(fit);
    CHECK(fit->log_decrement() == doctest::Approx(0.631484).epsilon(1e-5));
    CHECK(fit->damping_ratio() == doctest::Approx(0.1).epsilon(1e-5));
    CHECK(fit->frequency == doctest::Approx(wd / (2.0 * pi)).epsilon(1e-6));
    CHECK(fit->amplitude == doctest::Approx(1.5).epsilon(1e-5));
    CHECK(fit->level == doctest::Approx(0.7).epsilon(1e-5));
    CHECK(fit->explained == doctest::Approx(1.0));

    const auto points = find_extrema(values, 0.01);
    REQUIRE(points.size() >= 4);
    for (std::size_t i = 0; i + 2 < 4; ++i) {
        CHECK((points[i + 2].value - 0.7) / (points[i].value - 0.7) ==
              doctest::Approx(0.531802).epsilon(1e-4));
    }
}

TEST_CASE("angle, speed and acceleration of an order differ by its circular frequency") {
    // 100 N m at order 2 on 0.2 kg m2 at 850 rpm: 500 rad/s2, 2.80862 rad/s (26.820 rpm),
    // 0.903936 degrees.
    const double speed = 850.0 * pi / 30.0;
    const double w = 2.0 * speed;
    const double step = 2.5e-4;
    std::vector<double> acceleration, crank;
    for (int i = 0; i < 16000; ++i) {
        crank.push_back(speed * step * i);
        acceleration.push_back(100.0 / 0.2 * std::cos(w * step * i + 0.3));
    }
    const double a = order_amplitude(acceleration, crank, 2.0);
    CHECK(a == doctest::Approx(500.0).epsilon(1e-5));
    CHECK(a / w == doctest::Approx(2.80862).epsilon(1e-5));
    CHECK(a / w * 30.0 / pi == doctest::Approx(26.820).epsilon(2e-5));
    CHECK(a / (w * w) * 180.0 / pi == doctest::Approx(0.903936).epsilon(1e-5));

    // The same by differentiating the angle twice.
    std::vector<double> angle;
    for (int i = 0; i < 16000; ++i) {
        angle.push_back(-500.0 / (w * w) * std::cos(w * step * i + 0.3));
    }
    const auto twice = derivative(derivative(angle, step), step);
    CHECK(order_amplitude(twice, crank, 2.0) == doctest::Approx(500.0).epsilon(1e-4));
}
