// SPDX-License-Identifier: MIT
// Resampling against sines, whose values and slopes are known.
#include "libdamper/numerics/resample.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <functional>
#include <numbers>
#include <random>
#include <vector>

using namespace damper;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double rate = 4000.0;    // values a second
constexpr double cut_off = 400.0;  // Hz

struct Recording {
    std::vector<double> time, value;
};

Recording record(const std::function<double(double)>& f, double jitter = 0.0) {
    Recording out;
    std::mt19937 random(7);
    std::uniform_real_distribution<double> off(-jitter, jitter);
    for (int i = 0; i <= 2000; ++i) {
        const double t = (i + (jitter > 0.0 ? off(random) : 0.0)) / rate;
        out.time.push_back(t);
        out.value.push_back(f(t));
    }
    return out;
}

/// Largest miss of value and slope, the slope over 2π·frequency.
struct Miss {
    double value = 0.0, slope = 0.0;
};
Miss miss(const Resampled& r, const std::function<double(double)>& f,
          const std::function<double(double)>& slope, double frequency) {
    Miss out;
    for (std::size_t i = 0; i < r.value.size(); ++i) {
        const double t = r.start + static_cast<double>(i) * r.step;
        out.value = std::max(out.value, std::abs(r.value[i] - f(t)));
        out.slope = std::max(out.slope, std::abs(r.slope[i] - slope(t)) / (2.0 * pi * frequency));
    }
    return out;
}

}  // namespace

TEST_CASE("what swings slower than nine tenths of the cut-off passes, with its slope") {
    for (const double frequency : {1.0, 27.0, 133.0, 240.0, 0.9 * cut_off}) {
        CAPTURE(frequency);
        const double w = 2.0 * pi * frequency;
        const auto f = [&](double t) { return std::sin(w * t + 0.3); };
        const auto slope = [&](double t) { return w * std::cos(w * t + 0.3); };
        const Recording r = record(f);
        const Miss apart = miss(resample(r.time, r.value, cut_off, 1e-4), f, slope, frequency);
        CHECK(apart.value < 1e-4);
        CHECK(apart.slope < 2e-3);
    }
}

TEST_CASE("what swings faster than eleven tenths of the cut-off is gone") {
    for (const double frequency : {1.1 * cut_off, 600.0, 1300.0, 1900.0}) {
        CAPTURE(frequency);
        const Recording r = record([&](double t) { return std::sin(2.0 * pi * frequency * t); });
        const Resampled out = resample(r.time, r.value, cut_off, 1e-4);
        for (const double x : out.value) CHECK(std::abs(x) < 1e-4);
    }
}

TEST_CASE("a constant stays, a straight line keeps its slope") {
    const Recording flat = record([](double) { return 83.7; });
    for (const double x : resample(flat.time, flat.value, cut_off, 3e-4).value) {
        CHECK(std::abs(x - 83.7) < 1e-12 * 83.7);
    }
    const Recording line = record([](double t) { return 80.0 + 25.0 * t; });
    for (const double s : resample(line.time, line.value, cut_off, 3e-4).slope) {
        CHECK(s == doctest::Approx(25.0).epsilon(1e-4));
    }
}

TEST_CASE("uneven times, as of teeth that pass, do a thousandth at twenty values a period") {
    const double frequency = rate / 20.0;
    const double w = 2.0 * pi * frequency;
    const auto f = [&](double t) { return std::sin(w * t); };
    const Recording r = record(f, 0.3);
    const Miss apart = miss(
        resample(r.time, r.value, cut_off, 1e-4), f, [&](double t) { return w * std::cos(w * t); },
        frequency);
    CHECK(apart.value < 5e-3);
    // Six times as many values a period: as much better as cubics get.
    const double slow = frequency / 6.0;
    const auto g = [&](double t) { return std::sin(2.0 * pi * slow * t); };
    const Recording finer = record(g, 0.3);
    const Miss less = miss(
        resample(finer.time, finer.value, cut_off, 1e-4), g,
        [&](double t) { return 2.0 * pi * slow * std::cos(2.0 * pi * slow * t); }, slow);
    CHECK(less.value < apart.value / 30.0);
}

TEST_CASE("both ends are lost to the filter, and said to be") {
    const Recording r = record([](double) { return 1.0; });
    const Resampled out = resample(r.time, r.value, cut_off, 1e-4);
    CHECK(out.start == doctest::Approx(lost_at_each_end(cut_off)));
    CHECK(out.step <= 1e-4);
    const double last = out.start + out.step * static_cast<double>(out.value.size() - 1);
    CHECK(last == doctest::Approx(r.time.back() - lost_at_each_end(cut_off)));
}

TEST_CASE("a recording with a gap, falling times or too few values is refused") {
    Recording r = record([](double t) { return t; });
    CHECK_THROWS_AS((void)resample(r.time, r.value, 10.0, 1e-3), ModelError);  // too short for it
    Recording gap = r;
    gap.time.erase(gap.time.begin() + 900, gap.time.begin() + 910);
    gap.value.erase(gap.value.begin() + 900, gap.value.begin() + 910);
    CHECK_THROWS_WITH_AS((void)resample(gap.time, gap.value, cut_off, 1e-3),
                         doctest::Contains("nothing between"), ModelError);
    std::swap(r.time[5], r.time[6]);
    CHECK_THROWS_AS((void)resample(r.time, r.value, cut_off, 1e-3), ModelError);
    r.time.resize(3);
    r.value.resize(3);
    CHECK_THROWS_AS((void)resample(r.time, r.value, cut_off, 1e-3), ModelError);
}
