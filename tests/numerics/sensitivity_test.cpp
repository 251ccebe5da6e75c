// SPDX-License-Identifier: MIT
#include "libdamper/numerics/sensitivity.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/numerics/counted_random.hpp"
#include "libdamper/numerics/distribution.hpp"
#include "libdamper/numerics/screening.hpp"
#include "libdamper/numerics/sobol_sequence.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <functional>
#include <limits>
#include <numbers>
#include <vector>

using namespace damper;

namespace {

using Function = std::function<double(const std::vector<double>&)>;
using Unit = std::function<double(std::size_t row, std::size_t column)>;

/// Values at A, B and A with one column of B, as variance_shares() takes them.
std::vector<double> saltelli(std::size_t inputs, std::size_t rows, const Unit& unit,
                             const Function& f) {
    std::vector<double> values;
    for (std::size_t j = 0; j < rows; ++j) {
        std::vector<double> a(inputs), b(inputs);
        for (std::size_t i = 0; i < inputs; ++i) {
            a[i] = unit(j, i);
            b[i] = unit(j, inputs + i);
        }
        values.push_back(f(a));
        values.push_back(f(b));
        for (std::size_t i = 0; i < inputs; ++i) {
            std::vector<double> mixed = a;
            mixed[i] = b[i];
            values.push_back(f(mixed));
        }
    }
    return values;
}

/// T. Ishigami, T. Homma, ISUMA '90, 398–403: on −π…π, with a = 7, b = 0.1.
double ishigami(const std::vector<double>& u) {
    const auto x = [&](std::size_t i) { return std::numbers::pi * (2 * u[i] - 1); };
    const double s = std::sin(x(1));
    return std::sin(x(0)) + 7 * s * s + 0.1 * std::pow(x(2), 4) * std::sin(x(0));
}

}  // namespace

TEST_CASE("shares of variance of Ishigami's function are the closed ones") {
    const double p = std::numbers::pi, a = 7, b = 0.1;
    const double v1 = 0.5 * std::pow(1 + b * std::pow(p, 4) / 5, 2);
    const double v2 = a * a / 8, v13 = b * b * std::pow(p, 8) * (1.0 / 18 - 1.0 / 50);
    const double v = v1 + v2 + v13;
    const SobolSequence sequence(6);
    // From point 1 on: the origin is no good row of a cube without edges.
    const auto values = saltelli(
        3, 4096, [&](std::size_t j, std::size_t c) { return sequence.coordinate(j + 1, c); },
        ishigami);
    const auto shares = variance_shares(3, values);
    // The estimators' error at 4096 rows of a random sample is some 0.02; Sobol points do better.
    CHECK(shares[0].first.value == doctest::Approx(v1 / v).epsilon(0.01));
    CHECK(shares[1].first.value == doctest::Approx(v2 / v).epsilon(0.01));
    CHECK(std::abs(shares[2].first.value) < 0.01);
    CHECK(shares[0].total.value == doctest::Approx((v1 + v13) / v).epsilon(0.01));
    CHECK(shares[1].total.value == doctest::Approx(v2 / v).epsilon(0.01));
    CHECK(shares[2].total.value == doctest::Approx(v13 / v).epsilon(0.01));
    for (const VarianceShares& one : shares) {
        CHECK(one.first.low < one.first.value);
        CHECK(one.total.high > one.total.value);
        CHECK(one.total.high - one.total.low < 0.1);
    }
}

TEST_CASE("shares of variance of the g-function are the closed ones") {
    // A. Saltelli, I. M. Sobol, Reliab. Eng. Syst. Saf. 50 (1995): Π (|4x − 2| + a)/(1 + a).
    const std::vector<double> a = {0, 1, 4.5, 9, 99, 99, 99, 99};
    const Function g = [&](const std::vector<double>& x) {
        double product = 1.0;
        for (std::size_t i = 0; i < a.size(); ++i) {
            product *= (std::abs(4 * x[i] - 2) + a[i]) / (1 + a[i]);
        }
        return product;
    };
    double whole = 1.0;
    const auto part = [&](std::size_t i) { return 1.0 / 3 / ((1 + a[i]) * (1 + a[i])); };
    for (std::size_t i = 0; i < a.size(); ++i) whole *= 1 + part(i);
    const SobolSequence sequence(16);
    const auto values = saltelli(
        8, 8192, [&](std::size_t j, std::size_t c) { return sequence.coordinate(j + 1, c); }, g);
    const auto shares = variance_shares(8, values, 100);
    for (std::size_t i = 0; i < a.size(); ++i) {
        const double first = part(i) / (whole - 1);
        const double total = part(i) * whole / (1 + part(i)) / (whole - 1);
        CHECK(std::abs(shares[i].first.value - first) < 0.012);
        CHECK(std::abs(shares[i].total.value - total) < 0.012);
    }
}

TEST_CASE("bootstrap intervals of shares hold the closed value about as often as they say") {
    int held = 0, all = 0;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        const auto values = saltelli(
            3, 400, [&](std::size_t j, std::size_t c) { return counted_random(seed, j, c); },
            ishigami);
        const auto shares = variance_shares(3, values, 200, seed);
        const double total[] = {0.5576, 0.4424, 0.2437};
        for (std::size_t i = 0; i < 3; ++i, ++all) {
            held += shares[i].total.low <= total[i] && total[i] <= shares[i].total.high ? 1 : 0;
        }
    }
    // 95 % of 180 is 171; three deviations of the count are 9, the bootstrap itself errs a little.
    CHECK(held > 153);
    CHECK(held < all);
}

TEST_CASE("a row with a value that is not a number is left out") {
    const SobolSequence sequence(6);
    const Unit unit = [&](std::size_t j, std::size_t c) { return sequence.coordinate(j + 1, c); };
    auto values = saltelli(3, 64, unit, ishigami);
    const auto before = variance_shares(3, values, 0);
    std::vector<double> hurt = values;
    for (int k = 0; k < 5; ++k) hurt.push_back(k == 3 ? std::nan("") : 1e9);
    const auto after = variance_shares(3, hurt, 0);
    for (std::size_t i = 0; i < 3; ++i) CHECK(after[i].total.value == before[i].total.value);
    CHECK_THROWS_AS((void)variance_shares(3, std::vector<double>(7, 0.0)), ModelError);
}

TEST_CASE("screening sorts the inputs of Morris's function as he did") {
    // Morris (1991), section 4: of 20 inputs the first ten matter, of those 1 to 7 bend or interact
    // and 8, 9, 10 act alone, evenly. His small random coefficients are drawn anew here.
    constexpr std::size_t inputs = 20;
    const auto small = [](std::uint64_t i, std::uint64_t j) {
        return quantile(Distribution::normal(0, 1), counted_random(1991, i, j));
    };
    const Function morris = [&](const std::vector<double>& x) {
        std::vector<double> w(inputs);
        for (std::size_t i = 0; i < inputs; ++i) {
            const bool bent = i == 2 || i == 4 || i == 6;
            w[i] = bent ? 2 * (1.1 * x[i] / (x[i] + 0.1) - 0.5) : 2 * (x[i] - 0.5);
        }
        double y = 0.0;
        for (std::size_t i = 0; i < inputs; ++i) {
            y += (i < 10 ? 20.0 : small(i, i)) * w[i];
            for (std::size_t j = i + 1; j < inputs; ++j) {
                y += (j < 6 ? -15.0 : small(i, j)) * w[i] * w[j];
                for (std::size_t l = j + 1; l < 5; ++l) {
                    y += -10.0 * w[i] * w[j] * w[l];
                    for (std::size_t s = l + 1; s < 4; ++s) y += 5.0 * w[i] * w[j] * w[l] * w[s];
                }
            }
        }
        return y;
    };
    const MorrisDesign design(inputs, 40, 7);
    std::vector<double> values;
    for (std::size_t p = 0; p < design.points(); ++p) values.push_back(morris(design.point(p)));
    const auto effects = elementary_effects(design, inputs, values);
    for (std::size_t i = 0; i < 10; ++i) {
        for (std::size_t j = 10; j < inputs; ++j) {
            CHECK(effects[i].mean_absolute > 1.5 * effects[j].mean_absolute);
        }
        CHECK(effects[i].effects == 40);
    }
    // The small interactions alone scatter the effects by 2·√(19·5/16) = 4.9, the bent and the
    // large ones by more; the mean of an even input is 2 β = 40, moved where a small one meets a
    // bent one.
    for (std::size_t i = 7; i < 10; ++i) {
        CHECK(std::abs(effects[i].mean - 40.0) < 10.0);
        CHECK(effects[i].deviation < 7.5);
    }
    for (std::size_t j = 0; j < 7; ++j) CHECK(effects[j].deviation > 7.5);
}

TEST_CASE("a trajectory changes one input at a time by half its range, inside the range") {
    const MorrisDesign design(5, 30, 3);
    for (std::size_t p = 0; p < design.points(); ++p) {
        const auto x = design.point(p);
        for (const double one : x) CHECK_UNARY(one > 0.0 && one < 1.0);
        if ((p + 1) % 6 == 0) continue;
        const auto next = design.point(p + 1);
        int moved = 0;
        for (std::size_t i = 0; i < 5; ++i) {
            if (x[i] == next[i]) continue;
            ++moved;
            CHECK(std::abs(next[i] - x[i]) == MorrisDesign::step);
        }
        CHECK(moved == 1);
    }
}

TEST_CASE("what an input explains is its share of the variance, and nothing if it does nothing") {
    // y = 3 x0 + 4 x1: 9/25 and 16/25 of the variance (independent inputs of equal spread).
    constexpr std::size_t n = 4000;
    std::vector<std::vector<double>> x(3, std::vector<double>(n));
    std::vector<double> y(n);
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t k = 0; k < 3; ++k) x[k][i] = counted_random(5, i, k);
        y[i] = 3 * x[0][i] + 4 * x[1][i];
    }
    // Sampling error of a squared correlation: 2ρ(1 − ρ²)/√n < 0.015; three of them.
    CHECK(std::abs(explained_share(x[0], y) - 0.36) < 0.045);
    CHECK(std::abs(explained_share(x[1], y) - 0.64) < 0.045);
    CHECK(explained_share(x[2], y) < 0.01);
    CHECK(std::abs(correlation(x[0], y) - 0.6) < 0.04);
    CHECK(correlation(x[0], std::vector<double>(n, 1.0)) == 0.0);
    // A parabola has no correlation, and yet explains all.
    for (std::size_t i = 0; i < n; ++i) y[i] = (x[0][i] - 0.5) * (x[0][i] - 0.5);
    CHECK(std::abs(correlation(x[0], y)) < 0.06);
    CHECK(explained_share(x[0], y) > 0.95);
}
