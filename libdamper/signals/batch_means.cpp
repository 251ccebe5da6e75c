// SPDX-License-Identifier: MIT
#include "libdamper/signals/batch_means.hpp"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <numeric>

namespace damper {

namespace {

constexpr double one_sided_5_percent = 1.6449;  // quantile of the normal distribution

/// Neighbours two by two; one that is left over is dropped.
void join_pairs(std::vector<double>& values) {
    const std::size_t pairs = values.size() / 2;
    for (std::size_t i = 0; i < pairs; ++i) values[i] = values[2 * i] + values[2 * i + 1];
    values.resize(pairs);
}

struct Batches {
    std::vector<double> amount, duration;

    [[nodiscard]] std::int64_t count() const { return static_cast<std::int64_t>(amount.size()); }
    [[nodiscard]] double rate() const {
        const double time = std::accumulate(duration.begin(), duration.end(), 0.0);
        return time > 0.0 ? std::accumulate(amount.begin(), amount.end(), 0.0) / time : 0.0;
    }
    void join() {
        join_pairs(amount);
        join_pairs(duration);
    }
    /// What each batch misses of the rate; their sum is 0.
    [[nodiscard]] std::vector<double> missed() const {
        const double r = rate();
        std::vector<double> out(amount.size());
        for (std::size_t i = 0; i < out.size(); ++i) out[i] = amount[i] - r * duration[i];
        return out;
    }
    [[nodiscard]] double half_range() const {
        double low = amount[0] / duration[0];
        double high = low;
        for (std::size_t i = 1; i < amount.size(); ++i) {
            low = std::min(low, amount[i] / duration[i]);
            high = std::max(high, amount[i] / duration[i]);
        }
        return 0.5 * (high - low);
    }
};

double squares(const std::vector<double>& e) {
    return std::inner_product(e.begin(), e.end(), e.begin(), 0.0);
}

/// Whether neighbours are significantly alike.
bool hang_together(const std::vector<double>& e) {
    const double sum = squares(e);
    if (!(sum > 0.0)) return false;
    double steps = 0.0;
    for (std::size_t i = 1; i < e.size(); ++i) steps += (e[i] - e[i - 1]) * (e[i] - e[i - 1]);
    const auto n = static_cast<double>(e.size());
    const double c = 1.0 - steps / (2.0 * sum);
    return c > one_sided_5_percent * std::sqrt((n - 2.0) / (n * n - 1.0));
}

}  // namespace

double student_t(double confidence, double degrees) {
    const boost::math::students_t distribution(degrees);
    return boost::math::quantile(distribution, 0.5 + 0.5 * confidence);
}

BatchMeans::BatchMeans(std::size_t quantities)
    : duration_(most + 2, 0.0), amount_(quantities, std::vector<double>(most + 2, 0.0)) {}

void BatchMeans::add(std::size_t quantity, std::int64_t cycle, double amount) {
    const std::int64_t batch = std::clamp<std::int64_t>(cycle, 0, cycles_ + 1) / per_batch_;
    amount_[quantity][static_cast<std::size_t>(batch)] += amount;
}

void BatchMeans::close(double duration) {
    duration_[static_cast<std::size_t>(cycles_ / per_batch_)] += duration;
    ++cycles_;
    if (batches() == most) join();
}

void BatchMeans::join() {
    const auto pair_up = [](std::vector<double>& sums) {
        const std::size_t size = sums.size();
        join_pairs(sums);
        sums.resize(size, 0.0);
    };
    pair_up(duration_);
    for (std::vector<double>& sums : amount_) pair_up(sums);
    per_batch_ *= 2;
}

BatchMeans::Estimate BatchMeans::estimate(std::size_t quantity, double confidence) const {
    const std::int64_t kept = batches();
    Estimate out;
    if (kept == 0) return out;
    Batches now{{amount_[quantity].begin(), amount_[quantity].begin() + kept},
                {duration_.begin(), duration_.begin() + kept}};
    out.cycles_per_batch = per_batch_;
    const auto join_once = [&] {
        now.join();
        out.cycles_per_batch *= 2;
    };
    Batches coarse = now;
    while (coarse.count() > most_used) coarse.join();
    out.half_range = coarse.half_range();
    bool alike = hang_together(now.missed());
    while (alike && now.count() >= 2 * fewest_used) {
        join_once();
        alike = hang_together(now.missed());
    }
    while (now.count() > most_used) join_once();
    const auto n = static_cast<double>(now.count());
    out.rate = now.rate();
    out.batches = now.count();
    out.certain = !alike && now.count() >= fewest_used;
    if (!out.certain) return out;
    const double time = std::accumulate(now.duration.begin(), now.duration.end(), 0.0);
    const double deviation = std::sqrt(squares(now.missed()) / (n - 1.0));
    out.half_width = student_t(confidence, n - 1.0) * deviation * std::sqrt(n) / time;
    return out;
}

}  // namespace damper
