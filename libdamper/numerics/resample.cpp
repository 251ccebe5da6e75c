// SPDX-License-Identifier: MIT
#include "libdamper/numerics/resample.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <boost/math/interpolators/makima.hpp>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace damper {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double periods_each_side = 20.0;  // of the cut-off: a transition of ±10 % of it
constexpr double same_step = 1e-6;          // of a step; what times are rounded to

struct Even {
    double start = 0.0;
    double step = 0.0;
    std::vector<double> value;
};

void check(std::span<const double> time, std::span<const double> value, double cut_off) {
    if (time.size() != value.size() || time.size() < 4) {
        throw ModelError("a recording needs at least four times with a value each");
    }
    const double lost = lost_at_each_end(cut_off);
    for (std::size_t i = 1; i < time.size(); ++i) {
        const double gap = time[i] - time[i - 1];
        if (!(gap > 0.0)) throw ModelError("the times of a recording must rise");
        if (gap > 0.5 / cut_off) {
            throw ModelError(fmt::format(
                "the recording has nothing between {:.6g} s and {:.6g} s, which is more than half "
                "a period of the cut-off, {:.4g} Hz",
                time[i - 1], time[i], cut_off));
        }
    }
    if (!(time.back() - time.front() > 2.0 * lost)) {
        throw ModelError(fmt::format(
            "the recording is {:.4g} s long; a cut-off of {:.4g} Hz alone takes {:.4g} s at each "
            "end",
            time.back() - time.front(), cut_off, lost));
    }
}

/// As it is where the times are even; else by cubics through all values, at the usual distance.
Even evened(std::span<const double> time, std::span<const double> value) {
    const auto count = static_cast<double>(time.size() - 1);
    const double step = (time.back() - time.front()) / count;
    bool even = true;
    for (std::size_t i = 0; i < time.size(); ++i) {
        const double due = time.front() + static_cast<double>(i) * step;
        even = even && std::abs(time[i] - due) <= same_step * step;
    }
    Even out{.start = time.front(), .step = step, .value = {value.begin(), value.end()}};
    if (even) return out;
    const boost::math::interpolators::makima<std::vector<double>> curve(
        {time.begin(), time.end()}, {value.begin(), value.end()});
    out.step = 0.5 * step;
    out.value.clear();
    const auto last = static_cast<std::size_t>(2.0 * count);
    for (std::size_t i = 0; i <= last; ++i) {
        out.value.push_back(
            curve(std::min(out.start + static_cast<double>(i) * out.step, time.back())));
    }
    return out;
}

struct Weight {
    double value = 0.0;
    double slope = 0.0;  ///< Over the distance.
};

/// Of a value at a distance [s]: 2·f·sinc(2·f·d) under the window.
Weight weight_at(double distance, double cut_off, double reach) {
    const double u = distance / reach;
    if (!(std::abs(u) < 1.0)) return {};
    constexpr double a0 = 0.35875, a1 = 0.48829, a2 = 0.14128, a3 = 0.01168;
    const double c = std::cos(pi * u), s = std::sin(pi * u);
    const double c2 = 2.0 * c * c - 1.0;
    const double c3 = c * (2.0 * c2 - 1.0);
    const double window = a0 + a1 * c + a2 * c2 + a3 * c3;
    const double window_slope = -pi / reach * s * (a1 + 4.0 * a2 * c + 3.0 * a3 * (2.0 * c2 + 1.0));
    const double w = 2.0 * pi * cut_off;
    const double x = w * distance;
    constexpr double small = 1e-4;
    const double sinc = std::abs(x) < small ? 1.0 - x * x / 6.0 : std::sin(x) / x;
    const double sinc_slope = std::abs(x) < small ? -x / 3.0 * w : (std::cos(x) - sinc) / x * w;
    return {2.0 * cut_off * sinc * window,
            2.0 * cut_off * (sinc_slope * window + sinc * window_slope)};
}

}  // namespace

double lost_at_each_end(double cut_off) {
    return periods_each_side / cut_off;
}

Resampled resample(std::span<const double> time, std::span<const double> value, double cut_off,
                   double step) {
    check(time, value, cut_off);
    if (!(step > 0.0)) throw ModelError("a recording needs a step to be resampled at");
    const Even from = evened(time, value);
    const double reach = lost_at_each_end(cut_off);
    const double first = time.front() + reach;
    const double last = time.back() - reach;
    const double pieces = std::max(1.0, std::ceil((last - first) / step - same_step));
    Resampled out{.start = first, .step = (last - first) / pieces, .value = {}, .slope = {}};
    const auto size = static_cast<std::ptrdiff_t>(from.value.size());
    for (double i = 0.0; i <= pieces; i += 1.0) {
        const double t = first + i * out.step;
        const auto low =
            static_cast<std::ptrdiff_t>(std::ceil((t - reach - from.start) / from.step));
        const auto high =
            static_cast<std::ptrdiff_t>(std::floor((t + reach - from.start) / from.step));
        double sum = 0.0, weights = 0.0, slope = 0.0, slope_weights = 0.0;
        for (std::ptrdiff_t k = std::max<std::ptrdiff_t>(low, 0); k <= std::min(high, size - 1);
             ++k) {
            const double distance = t - (from.start + static_cast<double>(k) * from.step);
            const Weight w = weight_at(distance, cut_off, reach);
            const double x = from.value[static_cast<std::size_t>(k)];
            sum += w.value * x;
            weights += w.value;
            slope += w.slope * x;
            slope_weights += w.slope;
        }
        const double y = sum / weights;  // a constant stays what it is
        out.value.push_back(y);
        out.slope.push_back((slope - y * slope_weights) / weights);
    }
    return out;
}

}  // namespace damper
