// SPDX-License-Identifier: MIT
#include "libdamper/numerics/resonances.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>

namespace damper {

namespace {

constexpr double close_enough = 1e-9;  // of the frequency
constexpr double ripple = 1e-6;        // of the height
constexpr double cliff = 1e-3;         // of the height, in `close_enough` of the frequency

using Curve = std::function<double(double)>;

/// Golden section: three values of which the middle one is the highest close in on the top.
double top_between(const Curve& curve, double low, double high) {
    constexpr double cut = 1.0 / std::numbers::phi;
    double a = high - cut * (high - low);
    double b = low + cut * (high - low);
    double at_a = curve(a);
    double at_b = curve(b);
    while (high - low > close_enough * high) {
        if (at_a > at_b) {
            high = b;
            b = a;
            at_b = at_a;
            a = high - cut * (high - low);
            at_a = curve(a);
        } else {
            low = a;
            a = b;
            at_a = at_b;
            b = low + cut * (high - low);
            at_b = curve(b);
        }
    }
    return 0.5 * (low + high);
}

/// Where the curve passes `level`, or nothing where it jumps past it.
std::optional<double> crossing(const Curve& curve, double level, double above, double below) {
    double at_above = curve(above);
    double at_below = curve(below);
    while (std::abs(above - below) > close_enough * above) {
        const double middle = 0.5 * (above + below);
        const double value = curve(middle);
        (value >= level ? above : below) = middle;
        (value >= level ? at_above : at_below) = value;
    }
    if (at_above - at_below > cliff * level) return {};
    return 0.5 * (above + below);
}

/// Whether the curve falls off on both sides, by more than a ripple, before it rises higher.
bool stands_out(const std::vector<double>& y, std::size_t at) {
    double left = y[at];
    double right = y[at];
    for (std::size_t i = at; i-- > 0 && y[i] <= y[at];) left = std::min(left, y[i]);
    for (std::size_t i = at + 1; i < y.size() && y[i] <= y[at]; ++i) right = std::min(right, y[i]);
    return y[at] - std::max(left, right) > ripple * y[at];
}

/// How far the flank reaches down to `level`, going from sample `at` by `step`; nothing if the
/// curve rises or jumps before.
std::optional<double> flank(const Curve& curve, std::span<const double> x,
                            std::span<const double> y, std::size_t at, int step, double top,
                            double level) {
    double before = top;
    double lowest = std::numeric_limits<double>::infinity();
    for (std::size_t i = at; i < x.size(); i += static_cast<std::size_t>(step)) {
        if (y[i] < level) {
            const std::optional<double> at_level = crossing(curve, level, before, x[i]);
            if (!at_level) return {};
            return std::abs(top - *at_level);
        }
        if (y[i] > lowest * (1.0 + ripple)) return {};
        lowest = y[i];
        before = x[i];
    }
    return {};
}

}  // namespace

std::vector<Resonance> resonances(const Curve& magnitude, std::span<const double> x) {
    if (x.size() < 3) throw ModelError("resonances need at least three frequencies");
    std::vector<double> y;
    y.reserve(x.size());
    for (const double at : x) y.push_back(magnitude(at));

    std::vector<Resonance> found;
    for (std::size_t i = 1; i + 1 < x.size(); ++i) {
        if (!(y[i] > y[i - 1] && y[i] >= y[i + 1]) || !stands_out(y, i)) continue;
        Resonance one;
        one.frequency = top_between(magnitude, x[i - 1], x[i + 1]);
        one.peak = magnitude(one.frequency);
        const double level = one.peak / std::numbers::sqrt2;
        const auto left = flank(magnitude, x, y, i - 1, -1, one.frequency, level);
        const auto right = flank(magnitude, x, y, i + 1, 1, one.frequency, level);
        const double wide =
            left && right ? *left + *right : std::numeric_limits<double>::quiet_NaN();
        one.damping = 0.5 * wide / one.frequency;
        found.push_back(one);
    }
    return found;
}

}  // namespace damper
