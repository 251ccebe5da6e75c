// SPDX-License-Identifier: MIT
#include "libdamper/outputs/chart.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace damper {
namespace {

class Extent {
  public:
    void add(double value) {
        if (!std::isfinite(value)) return;
        low_ = std::min(low_, value);
        high_ = std::max(high_, value);
    }
    [[nodiscard]] AxisRange widened(double share) const {
        if (low_ > high_) return {};
        const double span = high_ - low_;
        // A constant has no span of its own: give it one from its size.
        const double margin = span > 0.0 ? share * span : std::max(0.1 * std::abs(high_), 1e-6);
        return {.low = low_ - margin, .high = high_ + margin};
    }

  private:
    double low_ = std::numeric_limits<double>::infinity();
    double high_ = -std::numeric_limits<double>::infinity();
};

}  // namespace

AxisRange x_range(const Chart& chart) {
    Extent extent;
    for (const auto& series : chart.series) {
        for (const double x : chart.x_of(series)) extent.add(x);
    }
    for (const auto& mark : chart.marks) extent.add(mark.x);
    const double share = chart.kind == Chart::Kind::time   ? 0.0
                         : chart.kind == Chart::Kind::bars ? 0.05
                                                           : 0.06;
    return extent.widened(share);
}

AxisRange y_range(const Chart& chart) {
    Extent extent;
    for (const auto& series : chart.series) {
        for (const double y : series.y) extent.add(y);
    }
    for (const auto& mark : chart.marks) extent.add(mark.y);
    if (chart.kind == Chart::Kind::bars) {
        extent.add(0.0);
        return {.low = 0.0, .high = extent.widened(0.05).high};
    }
    return extent.widened(0.06);
}

std::vector<double> ticks(AxisRange range, int wanted) {
    const double span = range.high - range.low;
    if (!(span > 0.0) || !std::isfinite(span) || wanted < 1) return {};
    const double rough = span / wanted;
    const double power = std::pow(10.0, std::floor(std::log10(rough)));
    const double lead = rough / power;
    const double step = power * (lead < 1.5 ? 1.0 : lead < 3.5 ? 2.0 : lead < 7.5 ? 5.0 : 10.0);
    std::vector<double> out;
    const double first = std::ceil(range.low / step - 1e-9);
    for (double k = first; k * step <= range.high + 1e-9 * step; k += 1.0) {
        out.push_back(k == 0.0 ? 0.0 : k * step);
        if (out.size() > 100) break;  // a step lost in rounding must not loop for ever
    }
    return out;
}

}  // namespace damper
