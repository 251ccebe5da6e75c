// SPDX-License-Identifier: MIT
#include "libdamper/signals/fore_aft_weighting.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>

namespace damper {
namespace {

using std::numbers::pi;

constexpr double low_limit = 0.4;     // Hz
constexpr double high_limit = 100.0;  // Hz
constexpr double transition = 2.0;    // Hz, f3 = f4
constexpr double transition_q = 0.63;
constexpr double band_q = 1.0 / std::numbers::sqrt2;
constexpr double finest_step = 2e-4;  // s

/// (n2 p² + n1 p + n0)/(p² + p/q + 1) with p = s/ω0, s by the bilinear transform exact at ω0.
FilterSection bilinear(double n2, double n1, double n0, double q, double corner, double step) {
    const double w = std::tan(pi * corner * step);  // p = (1 − z⁻¹)/((1 + z⁻¹) w)
    const double a0 = 1.0 + w / q + w * w;
    FilterSection section;
    section.b0 = (n2 + n1 * w + n0 * w * w) / a0;
    section.b1 = 2.0 * (n0 * w * w - n2) / a0;
    section.b2 = (n2 - n1 * w + n0 * w * w) / a0;
    section.a1 = 2.0 * (w * w - 1.0) / a0;
    section.a2 = (1.0 - w / q + w * w) / a0;
    return section;
}

/// Lagrange's cubic through four equally spaced values, `t` = 0 at the second, 1 at the third.
double cubic(double before, double left, double right, double after, double t) {
    return before * (-t * (t - 1.0) * (t - 2.0) / 6.0) +
           left * ((t + 1.0) * (t - 1.0) * (t - 2.0) / 2.0) +
           right * (-(t + 1.0) * t * (t - 2.0) / 2.0) + after * ((t + 1.0) * t * (t - 1.0) / 6.0);
}

std::vector<double> refine(std::span<const double> values, int parts) {
    if (parts <= 1 || values.size() < 2) return {values.begin(), values.end()};
    std::vector<double> fine;
    fine.reserve(values.size() * static_cast<std::size_t>(parts));
    const std::size_t last = values.size() - 1;
    for (std::size_t i = 0; i < last; ++i) {
        // Beyond the ends the signal goes on straight.
        const double before = i > 0 ? values[i - 1] : 2.0 * values[0] - values[1];
        const double after = i + 2 <= last ? values[i + 2] : 2.0 * values[last] - values[last - 1];
        for (int k = 0; k < parts; ++k) {
            fine.push_back(
                cubic(before, values[i], values[i + 1], after, static_cast<double>(k) / parts));
        }
    }
    fine.push_back(values[last]);
    return fine;
}

}  // namespace

double wd_gain(double frequency) {
    const std::complex<double> s(0.0, frequency);
    const auto p = [&](double corner) { return s / corner; };
    const auto quadratic = [](std::complex<double> x, double q) { return x * x + x / q + 1.0; };
    const std::complex<double> high_pass =
        p(low_limit) * p(low_limit) / quadratic(p(low_limit), band_q);
    const std::complex<double> low_pass = 1.0 / quadratic(p(high_limit), band_q);
    const std::complex<double> step =
        (1.0 + p(transition)) / quadratic(p(transition), transition_q);
    return std::abs(high_pass * low_pass * step);
}

Filter wd_filter(double step) {
    if (!(step > 0.0) || step >= 2e-3) {
        throw ModelError("the fore-and-aft weighting needs a sample spacing between 0 and 2 ms");
    }
    return {bilinear(1.0, 0.0, 0.0, band_q, low_limit, step),
            bilinear(0.0, 0.0, 1.0, band_q, high_limit, step),
            bilinear(0.0, 1.0, 1.0, transition_q, transition, step)};
}

WeightedSignal weight_wd(std::span<const double> values, double step) {
    if (!(step > 0.0))
        throw ModelError("the fore-and-aft weighting needs a positive sample spacing");
    WeightedSignal weighted;
    weighted.refinement = std::max(1, static_cast<int>(std::ceil(step / finest_step - 1e-9)));
    weighted.step = step / weighted.refinement;
    weighted.values = filter_forward(wd_filter(weighted.step), refine(values, weighted.refinement));
    return weighted;
}

double vibration_dose_value(std::span<const double> weighted, double step) {
    double sum = 0.0;
    for (std::size_t i = 0; i < weighted.size(); ++i) {
        const double square = weighted[i] * weighted[i];
        // Trapezoid rule: the end points count half.
        const bool end = i == 0 || i + 1 == weighted.size();
        sum += (end ? 0.5 : 1.0) * square * square;
    }
    return std::pow(sum * step, 0.25);
}

}  // namespace damper
