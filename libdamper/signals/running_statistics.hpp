// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <cmath>

namespace damper {

/// Extremes, mean and variance of values that are seen once and not kept. Sums are taken about the
/// first value, so that a small swing on a large mean keeps its digits.
class RunningStatistics {
  public:
    void add(double value) {
        if (count_ == 0.0) first_ = low_ = high_ = value;
        const double off = value - first_;
        count_ += 1.0;
        sum_ += off;
        squares_ += off * off;
        low_ = std::min(low_, value);
        high_ = std::max(high_, value);
    }
    [[nodiscard]] double count() const { return count_; }
    /// All of these are 0 without values.
    [[nodiscard]] double low() const { return low_; }
    [[nodiscard]] double high() const { return high_; }
    [[nodiscard]] double mean() const { return count_ > 0.0 ? first_ + sum_ / count_ : 0.0; }
    /// Root mean square about the mean.
    [[nodiscard]] double deviation() const {
        if (!(count_ > 0.0)) return 0.0;
        return std::sqrt(std::max(0.0, (squares_ - sum_ * sum_ / count_) / count_));
    }

  private:
    double count_ = 0.0, first_ = 0.0, sum_ = 0.0, squares_ = 0.0, low_ = 0.0, high_ = 0.0;
};

}  // namespace damper
