// SPDX-License-Identifier: MIT
#include "libdamper/outputs/chart.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace damper {
namespace {

class Extent {
  public:
    explicit Extent(bool logarithmic) : logarithmic_(logarithmic) {}
    void add(double value) {
        if (logarithmic_) value = value > 0.0 ? std::log10(value) : std::nan("");
        if (!std::isfinite(value)) return;
        low_ = std::min(low_, value);
        high_ = std::max(high_, value);
    }
    [[nodiscard]] AxisRange widened(double share) const {
        if (low_ > high_) return logarithmic_ ? AxisRange{.low = 1.0, .high = 10.0} : AxisRange{};
        const double span = high_ - low_;
        // A constant has no span of its own: give it one from its size.
        const double margin = span > 0.0 ? share * span : std::max(0.1 * std::abs(high_), 1e-6);
        const AxisRange range{.low = low_ - margin, .high = high_ + margin};
        if (!logarithmic_) return range;
        return {.low = std::pow(10.0, range.low), .high = std::pow(10.0, range.high)};
    }

  private:
    bool logarithmic_;
    double low_ = std::numeric_limits<double>::infinity();
    double high_ = -std::numeric_limits<double>::infinity();
};

}  // namespace

AxisRange x_range(const Chart& chart) {
    Extent extent(chart.log_x);
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
    Extent extent(chart.log_y);
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

std::vector<double> log_ticks(AxisRange range, int wanted) {
    if (!(range.low > 0.0) || !(range.high > range.low) || !std::isfinite(range.high) ||
        wanted < 1) {
        return {};
    }
    constexpr double slack = 1e-9;
    const double decades = std::log10(range.high / range.low);
    const bool in_steps = 3.0 * decades <= 2.0 * wanted;
    const int stride = in_steps ? 1 : std::max(1, static_cast<int>(std::ceil(decades / wanted)));
    std::vector<double> out;
    const auto first = static_cast<int>(std::floor(std::log10(range.low)));
    const auto last = static_cast<int>(std::ceil(std::log10(range.high)));
    for (int power = first; power <= last; ++power) {
        if (power % stride != 0) continue;
        for (const double lead : {1.0, 2.0, 5.0}) {
            if (lead != 1.0 && !in_steps) break;
            const double tick = lead * std::pow(10.0, power);
            if (tick < range.low * (1.0 - slack) || tick > range.high * (1.0 + slack)) continue;
            out.push_back(tick);
        }
    }
    return out;
}

}  // namespace damper
