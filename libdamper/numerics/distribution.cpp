// SPDX-License-Identifier: MIT
#include "libdamper/numerics/distribution.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/triangular.hpp>
#include <cmath>
#include <limits>

namespace damper {

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

double normal_quantile(const Distribution& one, double share) {
    const boost::math::normal_distribution<double> normal(one.mean, one.deviation);
    const double below = std::isfinite(one.low) ? cdf(normal, one.low) : 0.0;
    const double above = std::isfinite(one.high) ? cdf(complement(normal, one.high)) : 0.0;
    const double inside = 1.0 - below - above;
    // Taken from the nearer end, so that a cut far out in the tail keeps its digits.
    const double from_low = below + share * inside;
    const double value = from_low <= 0.5
                             ? quantile(normal, from_low)
                             : quantile(complement(normal, above + (1.0 - share) * inside));
    return std::clamp(value, one.low, one.high);
}

}  // namespace

Distribution Distribution::normal(double mean, double deviation) {
    return {Kind::normal, -infinite, infinite, mean, deviation};
}

Distribution Distribution::cut_normal(double mean, double deviation, double low, double high) {
    return {Kind::normal, low, high, mean, deviation};
}

Distribution Distribution::uniform(double low, double high) {
    return {Kind::uniform, low, high, 0.5 * (low + high), 0.0};
}

Distribution Distribution::triangular(double low, double peak, double high) {
    return {Kind::triangular, low, high, peak, 0.0};
}

std::string fault_of(const Distribution& one) {
    const bool whole = std::isfinite(one.mean) && !std::isnan(one.low) && !std::isnan(one.high);
    if (!whole) return "its numbers must be finite";
    if (!(one.low < one.high)) return "its lower end must be below its upper end";
    if (one.kind != Distribution::Kind::normal) {
        if (!std::isfinite(one.low) || !std::isfinite(one.high)) return "its ends must be finite";
        if (one.kind == Distribution::Kind::triangular &&
            (one.mean < one.low || one.mean > one.high)) {
            return "its peak must lie between its ends";
        }
        return "";
    }
    if (!(one.deviation > 0.0) || !std::isfinite(one.deviation)) {
        return "its standard deviation must be more than 0";
    }
    constexpr double farthest = 6.0;  // deviations; beyond, next to nothing is left to choose from
    if (one.low > one.mean + farthest * one.deviation ||
        one.high < one.mean - farthest * one.deviation) {
        return "next to nothing of it is left between its ends";
    }
    return "";
}

double quantile(const Distribution& one, double share) {
    if (!(share >= 0.0 && share <= 1.0)) throw ModelError("a quantile is that of a share 0…1");
    if (share == 0.0) return one.low;
    if (share == 1.0) return one.high;
    if (one.kind == Distribution::Kind::normal) return normal_quantile(one, share);
    if (one.kind == Distribution::Kind::uniform) return std::lerp(one.low, one.high, share);
    return quantile(boost::math::triangular_distribution<double>(one.low, one.mean, one.high),
                    share);
}

}  // namespace damper
