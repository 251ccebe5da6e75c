// SPDX-License-Identifier: MIT
#include "libdamper/numerics/sensitivity.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/numerics/counted_random.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace damper {

namespace {

constexpr std::size_t fewest_rows = 8;
constexpr std::size_t fewest_pairs = 40;
constexpr std::size_t fewest_in_bin = 20;
constexpr std::size_t most_bins = 50;

/// Indices of all inputs from the rows in `pick`: first, total of input 0, 1 …
std::vector<double> indices(std::size_t inputs, std::span<const double> values,
                            std::span<const std::size_t> pick) {
    const std::size_t width = inputs + 2;
    const auto n = static_cast<double>(pick.size());
    double mean = 0.0;
    for (const std::size_t j : pick) mean += (values[j * width] + values[j * width + 1]) / (2 * n);
    double variance = 0.0;
    std::vector<double> out(2 * inputs, 0.0);
    for (const std::size_t j : pick) {
        const double a = values[j * width] - mean;
        const double b = values[j * width + 1] - mean;
        variance += (a * a + b * b) / (2 * n);
        for (std::size_t i = 0; i < inputs; ++i) {
            const double mixed = values[j * width + 2 + i] - mean;
            out[2 * i] += b * (mixed - a) / n;
            out[2 * i + 1] += (a - mixed) * (a - mixed) / (2 * n);
        }
    }
    for (double& one : out) one = variance > 0.0 ? one / variance : 0.0;
    return out;
}

double percentile(std::vector<double>& sorted, double share) {
    const double at = share * static_cast<double>(sorted.size() - 1);
    const auto below = static_cast<std::size_t>(at);
    const std::size_t above = std::min(below + 1, sorted.size() - 1);
    return std::lerp(sorted[below], sorted[above], at - static_cast<double>(below));
}

EstimatedShare estimated(double value, std::vector<double> resampled) {
    if (resampled.empty()) return {value, value, value};
    std::ranges::sort(resampled);
    return {value, percentile(resampled, 0.025), percentile(resampled, 0.975)};
}

}  // namespace

std::vector<VarianceShares> variance_shares(std::size_t inputs, std::span<const double> values,
                                            std::size_t resamples, std::uint64_t seed) {
    const std::size_t width = inputs + 2;
    if (inputs == 0 || values.size() % width != 0) {
        throw ModelError("shares of variance need inputs + 2 values a row");
    }
    std::vector<std::size_t> rows;
    for (std::size_t j = 0; j < values.size() / width; ++j) {
        const auto row = values.subspan(j * width, width);
        if (std::ranges::all_of(row, [](double v) { return std::isfinite(v); })) rows.push_back(j);
    }
    std::vector<VarianceShares> out(inputs);
    if (rows.size() < fewest_rows) return out;
    const std::vector<double> whole = indices(inputs, values, rows);
    std::vector<std::vector<double>> spread(2 * inputs);
    std::vector<std::size_t> pick(rows.size());
    for (std::size_t r = 0; r < resamples; ++r) {
        for (std::size_t j = 0; j < pick.size(); ++j) {
            const double at = counted_random(seed, r, j) * static_cast<double>(rows.size());
            pick[j] = rows[static_cast<std::size_t>(at)];
        }
        const std::vector<double> one = indices(inputs, values, pick);
        for (std::size_t k = 0; k < one.size(); ++k) spread[k].push_back(one[k]);
    }
    for (std::size_t i = 0; i < inputs; ++i) {
        out[i].first = estimated(whole[2 * i], std::move(spread[2 * i]));
        out[i].total = estimated(whole[2 * i + 1], std::move(spread[2 * i + 1]));
    }
    return out;
}

double explained_share(std::span<const double> x, std::span<const double> y) {
    if (x.size() != y.size()) throw ModelError("explained_share: lists of different length");
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < x.size(); ++i) {
        if (std::isfinite(x[i]) && std::isfinite(y[i])) order.push_back(i);
    }
    if (order.size() < fewest_pairs) return 0.0;
    std::ranges::sort(
        order, [&](std::size_t a, std::size_t b) { return x[a] != x[b] ? x[a] < x[b] : a < b; });
    const auto n = static_cast<double>(order.size());
    double mean = 0.0;
    for (const std::size_t i : order) mean += y[i] / n;
    double all = 0.0;
    for (const std::size_t i : order) all += (y[i] - mean) * (y[i] - mean);
    const std::size_t wanted = std::clamp<std::size_t>(order.size() / fewest_in_bin, 2, most_bins);
    double between = 0.0;
    std::size_t bins = 0;
    for (std::size_t from = 0; from < order.size(); ++bins) {
        std::size_t to = std::max(from + 1, (bins + 1) * order.size() / wanted);
        to = std::min(to, order.size());
        // Equal values belong together: x may be one of a few levels.
        while (to < order.size() && x[order[to]] == x[order[to - 1]]) ++to;
        double sum = 0.0;
        for (std::size_t i = from; i < to; ++i) sum += y[order[i]] - mean;
        between += sum * sum / static_cast<double>(to - from);
        from = to;
    }
    const double freedom = n - static_cast<double>(bins);
    if (!(all > 0.0) || !(freedom > 0.0) || bins < 2) return 0.0;
    return std::max(0.0, 1.0 - (1.0 - between / all) * (n - 1.0) / freedom);
}

double correlation(std::span<const double> x, std::span<const double> y) {
    if (x.size() != y.size()) throw ModelError("correlation: lists of different length");
    double n = 0.0, mx = 0.0, my = 0.0;
    const auto counts = [&](std::size_t i) { return std::isfinite(x[i]) && std::isfinite(y[i]); };
    for (std::size_t i = 0; i < x.size(); ++i) {
        if (!counts(i)) continue;
        n += 1.0;
        mx += (x[i] - mx) / n;
        my += (y[i] - my) / n;
    }
    double xx = 0.0, yy = 0.0, xy = 0.0;
    for (std::size_t i = 0; i < x.size(); ++i) {
        if (!counts(i)) continue;
        xx += (x[i] - mx) * (x[i] - mx);
        yy += (y[i] - my) * (y[i] - my);
        xy += (x[i] - mx) * (y[i] - my);
    }
    return xx > 0.0 && yy > 0.0 ? xy / std::sqrt(xx * yy) : 0.0;
}

}  // namespace damper
