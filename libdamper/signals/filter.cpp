// SPDX-License-Identifier: MIT
#include "libdamper/signals/filter.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>

namespace damper {
namespace {

using std::numbers::pi;

/// Second-order Butterworth sections for a prewarped corner W = tan(π f T) (bilinear variable).
Filter sections_for(int order, double warped) {
    Filter filter;
    for (int k = 0; k < order / 2; ++k) {
        // Pole pair of the unit prototype: s² + 2 cos(angle) s + 1.
        const double angle = pi * (2.0 * k + 1.0) / (2.0 * order);
        const double damping = 2.0 * std::cos(angle);
        const double a0 = 1.0 + damping * warped + warped * warped;
        FilterSection section;
        section.b0 = warped * warped / a0;
        section.b1 = 2.0 * section.b0;
        section.b2 = section.b0;
        section.a1 = 2.0 * (warped * warped - 1.0) / a0;
        section.a2 = (1.0 - damping * warped + warped * warped) / a0;
        filter.push_back(section);
    }
    return filter;
}

void check(int order, double corner, double step) {
    if (order < 2 || order % 2 != 0)
        throw ModelError("a low-pass needs an even order of 2 or more");
    if (!(step > 0.0)) throw ModelError("a filter needs a positive sample spacing");
    if (!(corner > 0.0) || corner * step >= 0.5) {
        throw ModelError(
            "the corner of a low-pass must lie between 0 and half the sampling frequency");
    }
}

void run_section(const FilterSection& s, std::vector<double>& values) {
    if (values.empty()) return;
    // Steady state of the transposed direct form for a constant input equal to the first value.
    const double x0 = values.front();
    const double level = (s.b0 + s.b1 + s.b2) / (1.0 + s.a1 + s.a2);
    double z1 = (level - s.b0) * x0;
    double z2 = (s.b2 - s.a2 * level) * x0;
    for (double& value : values) {
        const double x = value;
        const double y = s.b0 * x + z1;
        z1 = s.b1 * x - s.a1 * y + z2;
        z2 = s.b2 * x - s.a2 * y;
        value = y;
    }
}

}  // namespace

Filter butterworth_low_pass(int order, double corner, double step) {
    check(order, corner, step);
    return sections_for(order, std::tan(pi * corner * step));
}

double gain(const Filter& filter, double frequency, double step) {
    const std::complex<double> back = std::polar(1.0, -2.0 * pi * frequency * step);
    std::complex<double> response = 1.0;
    for (const FilterSection& s : filter) {
        response *= (s.b0 + back * (s.b1 + back * s.b2)) / (1.0 + back * (s.a1 + back * s.a2));
    }
    return std::abs(response);
}

std::vector<double> filter_forward(const Filter& filter, std::span<const double> values) {
    std::vector<double> out(values.begin(), values.end());
    for (const FilterSection& section : filter) run_section(section, out);
    return out;
}

std::vector<double> filter_both_ways(const Filter& filter, std::span<const double> values,
                                     std::size_t margin) {
    const std::size_t count = values.size();
    if (count < 2) return {values.begin(), values.end()};
    margin = std::min(margin, count - 1);
    std::vector<double> work;
    work.reserve(count + 2 * margin);
    for (std::size_t i = margin; i > 0; --i) work.push_back(2.0 * values.front() - values[i]);
    work.insert(work.end(), values.begin(), values.end());
    for (std::size_t i = 1; i <= margin; ++i) {
        work.push_back(2.0 * values.back() - values[count - 1 - i]);
    }
    work = filter_forward(filter, work);
    std::reverse(work.begin(), work.end());
    work = filter_forward(filter, work);
    std::reverse(work.begin(), work.end());
    const auto first = work.begin() + static_cast<std::ptrdiff_t>(margin);
    return {first, first + static_cast<std::ptrdiff_t>(count)};
}

std::vector<double> low_pass_zero_phase(std::span<const double> values, double step, double corner,
                                        int order) {
    if (!(step > 0.0) || corner * step >= 0.45) return {values.begin(), values.end()};
    check(order, corner, step);
    // Two passes have the gain 1/(1 + (f/fc)^(2n)); it is 1/√2 at fc·(√2 − 1)^(1/2n).
    const double out = std::pow(std::numbers::sqrt2 - 1.0, -1.0 / (2.0 * order));
    const Filter filter = sections_for(order, std::tan(pi * corner * step) * out);
    const auto margin = static_cast<std::size_t>(std::ceil(3.0 / (corner * step)));
    return filter_both_ways(filter, values, margin);
}

}  // namespace damper
