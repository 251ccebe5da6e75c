// SPDX-License-Identifier: MIT
#include "libdamper/numerics/four_point.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace damper {

double four_point(std::span<const double> x, std::span<const double> y, double at,
                  std::size_t& hint) {
    const std::size_t last = x.size() - 1;
    std::size_t i = std::min(hint, last - 1);
    if (x[i] > at) i = 0;
    constexpr std::size_t steps_before_search = 8;
    for (std::size_t n = 0; n < steps_before_search && i + 1 < last && x[i + 1] <= at; ++n) ++i;
    if (i + 1 < last && x[i + 1] <= at) {
        const auto above = std::upper_bound(x.begin(), x.end(), at);
        i = std::min(last - 1,
                     static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, above - x.begin() - 1)));
    }
    hint = i;
    const std::size_t first = std::min(i > 0 ? i - 1 : 0, last - 3);
    double sum = 0.0;
    for (std::size_t k = first; k < first + 4; ++k) {
        double weight = 1.0;
        for (std::size_t m = first; m < first + 4; ++m) {
            if (m != k) weight *= (at - x[m]) / (x[k] - x[m]);
        }
        sum += weight * y[k];
    }
    return sum;
}

std::vector<double> four_point_at_steps(std::span<const double> x, std::span<const double> y,
                                        double from, double step, std::size_t count) {
    std::vector<double> out;
    out.reserve(count);
    std::size_t hint = 0;
    for (std::size_t i = 0; i < count; ++i) {
        const double at = from + static_cast<double>(i) * step;
        out.push_back(at <= x.front()  ? y.front()
                      : at >= x.back() ? y.back()
                                       : four_point(x, y, at, hint));
    }
    return out;
}

double cubic_error(double turn) {
    if (!(std::abs(turn) < std::numbers::pi)) return 1.0;
    return 1.0 - (1.125 * std::cos(0.5 * turn) - 0.125 * std::cos(1.5 * turn));
}

double linear_error(double turn) {
    if (!(std::abs(turn) < std::numbers::pi)) return 1.0;
    return 1.0 - std::cos(0.5 * turn);
}

}  // namespace damper
