// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/polynomial.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace damper {

namespace {

constexpr int longest_walk = 400;  // safe steps before a touching minimum is called a touch
constexpr std::size_t most_terms = 64;

/// Bound of |p''| on [0, 1].
double curvature_bound(std::span<const double> c) {
    double sum = 0.0;
    for (std::size_t k = 2; k < c.size(); ++k) {
        sum += static_cast<double>(k * (k - 1)) * std::abs(c[k]);
    }
    return sum;
}

/// 1/k; a division in the innermost loop would be most of its cost.
constexpr std::array<double, 2 * most_terms> reciprocals() {
    std::array<double, 2 * most_terms> out{};
    for (std::size_t k = 1; k < out.size(); ++k) out[k] = 1.0 / static_cast<double>(k);
    return out;
}
constexpr std::array<double, 2 * most_terms> reciprocal = reciprocals();

/// Without the last terms that are below rounding of the largest.
std::span<const double> trimmed(std::span<const double> c) {
    double largest = 0.0;
    for (const double v : c) largest = std::max(largest, std::abs(v));
    std::size_t n = c.size();
    while (n > 1 && std::abs(c[n - 1]) <= 1e-17 * largest) --n;
    return c.first(n);
}

/// First place in [from, 1] where the polynomial stops rising.
std::optional<double> first_top(std::span<const double> c, double from) {
    std::array<double, most_terms> slope{};
    const std::size_t n = std::min(c.size(), most_terms);
    for (std::size_t k = 1; k < n; ++k) slope[k - 1] = static_cast<double>(k) * c[k];
    return first_fall({slope.data(), n - 1}, from, 0.0);
}

}  // namespace

double value_at(std::span<const double> c, double s) {
    double v = 0.0;
    for (std::size_t k = c.size(); k-- > 0;) v = v * s + c[k];
    return v;
}

ValueSlope value_slope_at(std::span<const double> c, double s) {
    ValueSlope out;
    for (std::size_t k = c.size(); k-- > 0;) {
        out.slope = out.slope * s + out.value;
        out.value = out.value * s + c[k];
    }
    return out;
}

double integral_to(std::span<const double> c, double s) {
    double v = 0.0;
    for (std::size_t k = c.size(); k-- > 0;) v = v * s + c[k] * reciprocal[k + 1];
    return v * s;
}

double product_integral_to(std::span<const double> p, std::span<const double> q, double s) {
    const std::span<const double> a = trimmed(p);
    const std::span<const double> b = trimmed(q);
    double sum = 0.0;
    double power_i = s;
    for (std::size_t i = 0; i < a.size(); ++i, power_i *= s) {
        double inner = 0.0;
        double power = power_i;
        for (std::size_t j = 0; j < b.size(); ++j, power *= s) {
            inner += b[j] * power * reciprocal[i + j + 1];
        }
        sum += a[i] * inner;
    }
    return sum;
}

std::optional<double> first_fall(std::span<const double> c, double from, double floor) {
    const double m = curvature_bound(c);
    double s = from;
    for (int i = 0; i < longest_walk; ++i) {
        const auto [value, slope] = value_slope_at(c, s);
        if (value <= floor && slope < 0.0) return s;
        const double v = std::max(value, 0.0);
        // Zero of value + slope·r − m·r²/2, written so that neither sign of the slope cancels.
        const double root = std::sqrt(slope * slope + 2.0 * m * v);
        double r = slope < 0.0 ? 2.0 * v / (root - slope) : (m > 0.0 ? (slope + root) / m : 2.0);
        if (r < 1e-17 + 1e-16 * s) {
            // No room left: at the root, or at a touching minimum that rounding hides.
            if (slope < 0.0) return s;
            r = 1e-12;
        }
        s += r;
        if (s > 1.0) return std::nullopt;
    }
    // A touch that neither falls through nor lets go within all these steps: it is one.
    return s;
}

std::optional<double> firing(std::span<const double> c, double floor, double slope_floor) {
    if (c[0] > floor) return first_fall(c, 0.0, 0.0);
    std::size_t k = 1;
    if (c[0] < -floor) {
        // Negative from before (two guards at one instant): falling fires, rising may still turn.
        while (k < c.size() && c[k] == 0.0) ++k;
        if (k == c.size()) return std::nullopt;
        if (c[k] < 0.0) return 0.0;
        const std::optional<double> top = first_top(c, 0.0);
        if (!top) return std::nullopt;
        return value_at(c, *top) <= 0.0 ? top : first_fall(c, *top, 0.0);
    }
    // Zero at the start: divide the root out; the rest decides.
    double rest_size = 0.0;
    for (std::size_t i = 1; i < c.size(); ++i) rest_size = std::max(rest_size, std::abs(c[i]));
    if (std::abs(c[1]) <= slope_floor) ++k;
    while (k < c.size() && std::abs(c[k]) <= 1e-14 * rest_size) ++k;
    if (k >= c.size()) return std::nullopt;
    if (c[k] < 0.0) return 0.0;
    return first_fall(c.subspan(k), 0.0, 0.0);
}

}  // namespace damper
