// SPDX-License-Identifier: MIT
#include "libdamper/signals/batch_means.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <random>
#include <vector>

using namespace damper;

namespace {

/// One long record of the same quantity: closed cycles of 0.1 s.
BatchMeans record(const std::vector<double>& amounts) {
    BatchMeans means;
    for (std::size_t i = 0; i < amounts.size(); ++i) {
        means.add(0, static_cast<std::int64_t>(i), amounts[i]);
        means.close(0.1);
    }
    return means;
}

/// How often an interval covers the true rate, and how often there is one.
struct Coverage {
    double covered = 0.0, certain = 0.0, runs = 0.0;
    void add(const BatchMeans::Estimate& now, double truth) {
        runs += 1.0;
        if (!now.certain) return;
        certain += 1.0;
        if (std::abs(now.rate - truth) <= now.half_width) covered += 1.0;
    }
    [[nodiscard]] double share() const { return covered / certain; }
    /// Four standard deviations of the share, were it 0.95: of the binomial distribution.
    [[nodiscard]] double bound() const { return 4.0 * std::sqrt(0.95 * 0.05 / certain); }
};

/// Mean 5, standard deviation 1; a cycle keeps `kept` of what the one before was off.
std::vector<double> autoregressive(std::mt19937_64& random, double kept, std::size_t cycles) {
    std::normal_distribution<double> normal;
    std::vector<double> out(cycles);
    double off = normal(random);
    for (double& value : out) {
        value = 5.0 + off;
        off = kept * off + std::sqrt(1.0 - kept * kept) * normal(random);
    }
    return out;
}

}  // namespace

TEST_CASE("quantiles of Student's t are those of the tables") {
    // Two-sided 95 % and 99 %, as in every table of the distribution (for example M. Abramowitz,
    // I. A. Stegun, Handbook of Mathematical Functions, 1964, table 26.10); three decimals,
    // recalled.
    struct Row {
        double degrees, at_95, at_99;
    };
    for (const Row& row : {Row{1, 12.706, 63.657}, Row{2, 4.303, 9.925}, Row{5, 2.571, 4.032},
                           Row{9, 2.262, 3.250}, Row{10, 2.228, 3.169}, Row{20, 2.086, 2.845},
                           Row{30, 2.042, 2.750}, Row{60, 2.000, 2.660}, Row{120, 1.980, 2.617}}) {
        CAPTURE(row.degrees);
        CHECK(std::abs(student_t(0.95, row.degrees) - row.at_95) < 5.1e-4);
        CHECK(std::abs(student_t(0.99, row.degrees) - row.at_99) < 5.1e-4);
    }
}

TEST_CASE("equal durations: the textbook interval of a mean") {
    const std::vector<double> amounts = {3.0, 8.0, 1.0, 9.0, 4.0, 6.0, 2.0, 10.0, 5.0, 7.0};
    const BatchMeans::Estimate now = record(amounts).estimate(0);
    // 1 … 10 in some order: mean 5.5, Σ(x − 5.5)² = 82.5; per 0.1 s each.
    CHECK(now.certain);
    CHECK(now.batches == 10);
    CHECK(now.cycles_per_batch == 1);
    CHECK(now.rate == doctest::Approx(55.0));
    CHECK(now.half_width ==
          doctest::Approx(2.2622 * std::sqrt(82.5 / 9.0 / 10.0) / 0.1).epsilon(1e-4));
    CHECK(now.half_range == doctest::Approx(45.0));
}

TEST_CASE("unequal durations: an amount in proportion to the duration has no scatter") {
    BatchMeans means;
    for (int i = 0; i < 20; ++i) {
        const double duration = 0.1 + 0.01 * ((7 * i) % 5);
        means.add(0, i, 300.0 * duration);
        means.close(duration);
    }
    const BatchMeans::Estimate now = means.estimate(0);
    CHECK(now.rate == doctest::Approx(300.0));
    CHECK(now.half_width < 1e-9);
}

TEST_CASE("nine cycles are too few, a trend is no scatter") {
    CHECK_FALSE(record(std::vector<double>(9, 1.0)).estimate(0).certain);
    std::vector<double> trend;
    for (int i = 0; i < 40; ++i) trend.push_back(100.0 + 0.1 * i);
    const BatchMeans::Estimate now = record(trend).estimate(0);
    CHECK_FALSE(now.certain);
    CHECK(now.half_width == 0.0);
    CHECK(now.half_range == doctest::Approx(0.5 * (3.8 / 0.1)));  // 20 batches of two cycles
}

TEST_CASE("batches are joined when they are full, and nothing is lost") {
    BatchMeans means(2);
    for (int i = 0; i < 1000; ++i) {
        means.add(0, i, 1.0);
        means.add(1, i - 5, 2.0);  // told five cycles late
        means.close(0.5);
    }
    CHECK(means.cycles() == 1000);
    CHECK(means.batches() < BatchMeans::most);
    CHECK(means.cycles_per_batch() == 8);
    CHECK(means.estimate(0).rate == doctest::Approx(2.0));
    CHECK(means.estimate(0).half_width == 0.0);
    CHECK(means.estimate(0).batches <= BatchMeans::most_used);
    CHECK(means.estimate(1).rate == doctest::Approx(4.0).epsilon(0.01));  // but for the last five
}

TEST_CASE("the interval covers the rate of a Poisson process as often as it says") {
    std::mt19937_64 random(20240611);
    std::poisson_distribution<int> hits(8.0);
    Coverage coverage;
    for (int run = 0; run < 4000; ++run) {
        std::vector<double> amounts(60);
        for (double& amount : amounts) amount = hits(random);
        coverage.add(record(amounts).estimate(0), 80.0);
    }
    CHECK(coverage.certain > 0.9 * coverage.runs);
    CHECK(std::abs(coverage.share() - 0.95) < coverage.bound());
}

TEST_CASE("the interval covers the mean of an autoregressive process nearly as often as it says") {
    std::mt19937_64 random(20240612);
    for (const double kept : {0.3, 0.6, 0.9}) {
        CAPTURE(kept);
        Coverage coverage;
        double naive = 0.0;
        for (int run = 0; run < 2000; ++run) {
            const std::vector<double> amounts = autoregressive(random, kept, 1500);
            coverage.add(record(amounts).estimate(0), 50.0);
            // An interval from single cycles as if they did not hang together.
            double sum = 0.0;
            for (const double amount : amounts) sum += amount;
            const double off = std::abs(sum / 1500.0 - 5.0);
            naive += off <= 1.96 / std::sqrt(1500.0) ? 1.0 / 2000.0 : 0.0;
        }
        // Batches of a finite run still hang together a little, which the test cannot see: up to
        // two in a hundred more miss it than should. As single cycles they would miss it far more.
        CHECK(coverage.certain > 0.97 * coverage.runs);
        CHECK(coverage.share() > 0.95 - 0.02 - coverage.bound());
        CHECK(coverage.share() < 0.95 + coverage.bound());
        CHECK(naive < 0.9);
    }
}
