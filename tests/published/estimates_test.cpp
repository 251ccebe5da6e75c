// SPDX-License-Identifier: MIT
// Least squares of swings in noise against the Cramér–Rao bounds.
#include "libdamper/recordings/workshop_like.hpp"
#include "libdamper/signals/crank_angle.hpp"
#include "libdamper/signals/damped_sine.hpp"

#include "tests/support/near.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <vector>

using namespace damper;
using damper::test::near;

// S. M. Kay, Fundamentals of Statistical Signal Processing: Estimation Theory, 1993, example 3.14
// (recalled): no unbiased estimate from N values A·cos(2π·f·n + φ) in white noise of variance σ²
// scatters less than var A = 2σ²/N and var f = 12/((2π)²·η·N·(N² − 1)), η = A²/(2σ²), f in periods
// a step. Least squares reach the bound at this signal to noise. Of 300 draws the variance itself
// scatters by √(2/300) = 8 %; the bounds below are three of that, and what the unknowns beside the
// swing cost.

TEST_CASE("a swing's frequency, decay and height scatter by no more than must be") {
    constexpr std::size_t count = 250;
    constexpr int draws = 300;
    constexpr double step = 2e-3, height = 1.0, frequency = 11.0, sigma = 0.2;
    double f_mean = 0.0, f_squares = 0.0, d_squares = 0.0, a_mean = 0.0;
    for (int draw = 0; draw < draws; ++draw) {
        std::vector<double> values;
        for (std::size_t n = 0; n < count; ++n) {
            const double t = step * static_cast<double>(n);
            values.push_back(height * std::cos(2.0 * std::numbers::pi * frequency * t + 0.7) +
                             sigma * normal_random(static_cast<std::uint64_t>(draw) + 11, n));
        }
        const auto fit = fit_damped_sine(values, step, 5.0, 20.0);
        REQUIRE(fit.has_value());
        f_mean += (fit->frequency - frequency) / draws;
        f_squares += (fit->frequency - frequency) * (fit->frequency - frequency) / draws;
        d_squares += fit->decay * fit->decay / draws;
        // Of the middle: there the height does not hang on the decay.
        a_mean += fit->amplitude * std::exp(-0.5 * fit->decay * step * count) / draws;
    }
    const double n = count, eta = height * height / (2.0 * sigma * sigma);
    const double least = 12.0 / (4.0 * std::numbers::pi * std::numbers::pi * eta * n * (n * n - 1));
    const double f_bound = least / (step * step);
    CHECK(f_squares > 0.76 * f_bound);
    CHECK(f_squares < 1.3 * f_bound);
    CHECK(std::abs(f_mean) < 3.0 * std::sqrt(f_bound / draws));
    // The decay is to the height what the circular frequency is to the phase: the same bound.
    const double d_bound = 4.0 * std::numbers::pi * std::numbers::pi * f_bound;
    CHECK(d_squares > 0.76 * d_bound);
    CHECK(d_squares < 1.3 * d_bound);
    CHECK(a_mean == near(height, 3.0 * std::sqrt(2.0 * sigma * sigma / n / draws)));
}

TEST_CASE("an order's amplitude scatters by the bound, and its interval holds the truth") {
    // One engine cycle has 4π·N values of the noise; a mean, a slope, a bend and 23 other orders
    // are unknown too, orthogonal but for the slope: within 15 %.
    constexpr int draws = 150, cycles = 2, blocks = 8, per_revolution = 64;
    constexpr double sigma = 0.5, height = 1.5, order = 2.0;
    double squares = 0.0, all = 0.0;
    int held = 0;
    for (int draw = 0; draw < draws; ++draw) {
        AngleSeries series;
        series.per_revolution = per_revolution;
        series.sampled_per_revolution = per_revolution;
        const int count = 2 * cycles * blocks * per_revolution + 1;
        for (int i = 0; i < count; ++i) {
            const double angle = 2.0 * std::numbers::pi * i / per_revolution;
            series.time.push_back(angle / 80.0);
            series.speed.push_back(80.0 + height * std::cos(order * angle + 0.3) +
                                   sigma * normal_random(static_cast<std::uint64_t>(draw) + 5000,
                                                         static_cast<std::uint64_t>(i)));
        }
        const OrderBlocks told = order_blocks(series, 12.0, cycles);
        REQUIRE(told.block.size() == blocks);
        for (const OrderBlock& block : told.block) {
            const double off = std::abs(block.amplitude[order_index(order)]) - height;
            squares += off * off;
            all += 1.0;
        }
        const BlockFigure figure = order_magnitude(told, order);
        if (std::abs(figure.value - height) <= figure.half_width) ++held;
    }
    const double bound = 2.0 * sigma * sigma / (2.0 * cycles * per_revolution);
    CHECK(squares / all == near(bound, 0.15));
    // 95 % of 150, and three standard deviations of a share less.
    CHECK(held >= 135);
    CHECK(held < draws);
}
