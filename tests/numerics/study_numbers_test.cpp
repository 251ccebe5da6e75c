// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/numerics/binomial_interval.hpp"
#include "libdamper/numerics/counted_random.hpp"
#include "libdamper/numerics/distribution.hpp"
#include "libdamper/numerics/sobol_sequence.hpp"

#include <array>
#include <cmath>
#include <doctest/doctest.h>
#include <set>
#include <utility>
#include <vector>

using namespace damper;

// SciPy 1.10.1 figures: statistics_by_scipy.py.

TEST_CASE("the Sobol sequence begins as published and as another program has it") {
    // S. Joe, F. Y. Kuo, "Notes on generating Sobol sequences" (2008), first ten points in three
    // dimensions, as their program prints them.
    const std::vector<std::array<double, 3>> first = {{0, 0, 0},
                                                      {0.5, 0.5, 0.5},
                                                      {0.75, 0.25, 0.25},
                                                      {0.25, 0.75, 0.75},
                                                      {0.375, 0.375, 0.625},
                                                      {0.875, 0.875, 0.125},
                                                      {0.625, 0.125, 0.875},
                                                      {0.125, 0.625, 0.375},
                                                      {0.1875, 0.3125, 0.9375},
                                                      {0.6875, 0.8125, 0.4375}};
    const SobolSequence sequence(21);
    for (std::size_t n = 0; n < first.size(); ++n) {
        for (std::size_t d = 0; d < 3; ++d) CHECK(sequence.coordinate(n, d) == first[n][d]);
    }
    struct Point {
        std::uint64_t index;
        std::array<double, 4> at;
    };
    const std::array<std::size_t, 4> dimensions = {0, 1, 6, 20};
    // Exact: multiples of a power of two.
    for (const Point& point :
         {Point{1, {0.5, 0.5, 0.5, 0.5}}, Point{5, {0.875, 0.875, 0.875, 0.625}},
          Point{1000, {0.2197265625, 0.0966796875, 0.0458984375, 0.5224609375}},
          Point{65535,
                {1.52587890625e-05, 0.9999847412109375, 0.5171966552734375, 0.5664520263671875}}}) {
        for (std::size_t k = 0; k < 4; ++k) {
            CHECK(sequence.coordinate(point.index, dimensions[k]) == point.at[k]);
        }
    }
}

TEST_CASE("any 2^m first points of the Sobol sequence fill every 2^m-th of an axis once") {
    // I. M. Sobol, 1967: each coordinate of an LPτ sequence is a (0, 1)-sequence in base 2.
    const SobolSequence sequence(40);
    for (std::size_t d = 0; d < 40; ++d) {
        std::set<int> cells;
        for (std::uint64_t n = 0; n < 256; ++n) {
            cells.insert(static_cast<int>(256.0 * sequence.coordinate(n, d)));
        }
        CHECK(cells.size() == 256);
    }
    CHECK_THROWS_AS(SobolSequence(0), ModelError);
    CHECK_THROWS_AS((void)sequence.coordinate(0, 40), ModelError);
}

TEST_CASE("inverse distributions are those of SciPy") {
    const std::array<double, 7> shares = {1e-9, 0.001, 0.1, 0.5, 0.8, 0.975, 1 - 1e-6};
    const std::vector<std::pair<Distribution, std::array<double, 7>>> cases = {
        {Distribution::normal(3, 0.4),
         {0.600877193996925, 1.76390707753287, 2.48737937378216, 3, 3.33664849342917,
          3.78398559381602, 4.90136972352683}},
        {Distribution::cut_normal(3, 0.4, 2.8, 4.5),
         {2.80000000078551, 2.80078512166102, 2.87536281656884, 3.15870051337605, 3.43508101047644,
          3.84452464405193, 4.4992185440096}},
        {Distribution::cut_normal(0, 1, 3, 5),
         {3.00000000030453, 3.00030466481207, 3.03194014774835, 3.20509380820998, 3.4598791568264,
          3.98298912038256, 4.99909427574053}},
        {Distribution::triangular(-1, 2, 4),
         {-0.999877525512861, -0.877525512860841, 0.224744871391589, 1.73861278752583,
          2.58578643762691, 3.5, 3.99683772233979}}};
    for (const auto& [one, expected] : cases) {
        CHECK(fault_of(one).empty());
        for (std::size_t k = 0; k < shares.size(); ++k) {
            // Both go to about 1e-13 of the range; the tails lose what 1 − share loses.
            CHECK(quantile(one, shares[k]) == doctest::Approx(expected[k]).epsilon(1e-9));
        }
    }
    CHECK(quantile(Distribution::uniform(2, 6), 0.25) == 3.0);
}

TEST_CASE("distributions that make no sense say why") {
    CHECK(fault_of(Distribution::normal(1, 0)).find("deviation") != std::string::npos);
    CHECK(fault_of(Distribution::uniform(2, 2)).find("below its upper") != std::string::npos);
    CHECK(fault_of(Distribution::triangular(0, 5, 4)).find("peak") != std::string::npos);
    CHECK(fault_of(Distribution::cut_normal(0, 1, 7, 9)).find("nothing") != std::string::npos);
    CHECK(fault_of(Distribution::normal(std::nan(""), 1)).find("finite") != std::string::npos);
}

TEST_CASE("the interval of a share is that of SciPy") {
    struct Case {
        int hits, trials;
        double low, high;
    };
    for (const Case& one :
         {Case{0, 20, 0, 0.168433470983}, Case{1, 20, 0.00126508949796, 0.248732762772},
          Case{7, 50, 0.05819170034, 0.267396002497},
          Case{500, 1000, 0.468549172972, 0.531450827028},
          Case{99990, 100000, 0.999816104155, 0.999952045105}, Case{30, 30, 0.884296691778, 1}}) {
        const ShareInterval interval = share_interval(one.hits, one.trials);
        CHECK(interval.low == doctest::Approx(one.low).epsilon(1e-9));
        CHECK(interval.high == doctest::Approx(one.high).epsilon(1e-9));
    }
    CHECK_THROWS_AS((void)share_interval(3, 2), ModelError);
}

TEST_CASE("the interval of a share holds the share at least as often as it says") {
    constexpr int n = 60;
    for (const double p : {0.003, 0.05, 0.31, 0.5, 0.92}) {
        double covered = 0.0;
        for (int k = 0; k <= n; ++k) {
            const ShareInterval one = share_interval(k, n);
            if (p < one.low || p > one.high) continue;
            covered +=
                std::exp(std::lgamma(n + 1.0) - std::lgamma(k + 1.0) - std::lgamma(n - k + 1.0) +
                         k * std::log(p) + (n - k) * std::log1p(-p));
        }
        CHECK(covered >= 0.95);
        if (p > 0.2 && p < 0.8) CHECK(covered < 0.98);  // and is not merely wide
    }
}

TEST_CASE("counted random numbers are even, independent and never an end") {
    constexpr int n = 100000;
    double sum = 0.0, squares = 0.0, along = 0.0, across = 0.0;
    for (std::uint64_t i = 0; i < n; ++i) {
        const double x = counted_random(1, i, 0) - 0.5;
        sum += x;
        squares += x * x;
        along += x * (counted_random(1, i + 1, 0) - 0.5);
        across += x * (counted_random(1, i, 1) - 0.5);
        CHECK_UNARY(x > -0.5 && x < 0.5);
    }
    // Four standard deviations of the mean of n uniform numbers, and of n products of two.
    CHECK(std::abs(sum / n) < 4 * std::sqrt(1.0 / 12 / n));
    CHECK(std::abs(squares / n - 1.0 / 12) < 4 * std::sqrt(1.0 / 180 / n));
    CHECK(std::abs(along / n) < 4.0 / 12 / std::sqrt(n));
    CHECK(std::abs(across / n) < 4.0 / 12 / std::sqrt(n));
}
