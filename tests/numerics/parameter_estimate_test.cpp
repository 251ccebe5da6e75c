// SPDX-License-Identifier: MIT
#include "libdamper/numerics/parameter_estimate.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/numerics/counted_random.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>

namespace damper::test {

namespace {

using Vector6 = Eigen::Matrix<double, 6, 1>;
using Vector14 = Eigen::Matrix<double, 14, 1>;

const EstimateInterval& interval(const ParameterEstimate& found, int unknown) {
    return found.intervals[static_cast<std::size_t>(unknown)];
}

double normal(std::uint64_t number, int at) {
    const auto place = static_cast<std::uint64_t>(at);
    const double a = counted_random(7, number, 2 * place),
                 b = counted_random(7, number, 2 * place + 1);
    return std::sqrt(-2.0 * std::log(a)) * std::cos(2.0 * std::numbers::pi * b);
}

/// A decay seen at eight times, and its half-life: a·exp(−k·t), a = 1…3, k = 0.1…2 on a logarithm.
EstimateProblem decay() {
    EstimateProblem problem;
    problem.unknowns = 2;
    problem.figures = [](const Eigen::VectorXd& x, std::size_t) {
        const double a = 1.0 + 2.0 * x[0], k = 0.1 * std::pow(20.0, x[1]);
        Eigen::VectorXd out(8);
        for (int i = 0; i < 8; ++i) out[i] = a * std::exp(-0.4 * k * i);
        return out;
    };
    problem.errors = Eigen::VectorXd::Constant(8, 0.03);
    return problem;
}

}  // namespace

TEST_CASE("A straight line has the covariance, intervals and chi-square of the closed forms") {
    // W. H. Press et al., Numerical Recipes, 3rd ed., 2007, §15.2, eq. 15.2.6 and 15.2.9: intercept
    // and slope with errors σ_i (recalled).
    constexpr int count = 6;
    const Vector6 t{{0.0, 1.0, 2.0, 3.0, 5.0, 8.0}};
    const Vector6 y{{1.1, 1.9, 3.2, 3.9, 6.3, 8.8}};
    const Vector6 sigma{{0.2, 0.1, 0.2, 0.3, 0.2, 0.4}};
    double s = 0.0, sx = 0.0, sy = 0.0, sxx = 0.0, sxy = 0.0;
    EstimateProblem problem;
    problem.unknowns = 2;
    problem.seen.resize(count);
    problem.errors.resize(count);
    for (int i = 0; i < count; ++i) {
        const double w = 1.0 / (sigma[i] * sigma[i]);
        s += w;
        sx += w * t[i];
        sy += w * y[i];
        sxx += w * t[i] * t[i];
        sxy += w * t[i] * y[i];
        problem.seen[i] = y[i];
        problem.errors[i] = sigma[i];
    }
    const double delta = s * sxx - sx * sx;
    const double intercept = (sxx * sy - sx * sxy) / delta, slope = (s * sxy - sx * sy) / delta;
    const double wide = 4.0;  // both lie within −2…2
    problem.figures = [&](const Eigen::VectorXd& x, std::size_t) {
        Eigen::VectorXd out(count);
        for (int i = 0; i < count; ++i) out[i] = wide * (x[0] - 0.5) + wide * (x[1] - 0.5) * t[i];
        return out;
    };
    double chi_square = 0.0;
    for (int i = 0; i < count; ++i) {
        chi_square += std::pow((y[i] - intercept - slope * t[i]) / sigma[i], 2);
    }
    const ParameterEstimate found = estimate_parameters(problem, {.enough = 1e-12});
    REQUIRE(found.complete);
    CHECK(wide * (found.x[0] - 0.5) == doctest::Approx(intercept).epsilon(1e-7));
    CHECK(wide * (found.x[1] - 0.5) == doctest::Approx(slope).epsilon(1e-7));
    CHECK(wide * wide * found.covariance(0, 0) == doctest::Approx(sxx / delta).epsilon(1e-8));
    CHECK(wide * wide * found.covariance(1, 1) == doctest::Approx(s / delta).epsilon(1e-8));
    CHECK(wide * wide * found.covariance(0, 1) == doctest::Approx(-sx / delta).epsilon(1e-8));
    CHECK(found.chi_square == doctest::Approx(chi_square).epsilon(1e-8));
    CHECK(found.freedom == 4);
    // Four degrees of freedom: Q = exp(−χ²/2)·(1 + χ²/2), M. Abramowitz, I. A. Stegun, 26.4.5.
    CHECK(found.chance ==
          doctest::Approx(std::exp(-0.5 * chi_square) * (1.0 + 0.5 * chi_square)).epsilon(1e-8));
    // A linear model's profile is a parabola: ±1.959964 deviations, met here to 2 % of 1.96.
    for (int j = 0; j < 2; ++j) {
        const double half = 1.959964 * std::sqrt(found.covariance(j, j));
        CHECK(interval(found, j).low == doctest::Approx(found.x[j] - half).epsilon(0.002));
        CHECK(interval(found, j).high == doctest::Approx(found.x[j] + half).epsilon(0.002));
        CHECK_FALSE(interval(found, j).low_open);
        CHECK_FALSE(interval(found, j).widened);
    }
}

TEST_CASE("Certified values of a nonlinear regression are met") {
    // National Institute of Standards and Technology, Statistical Reference Datasets, Misra1a:
    // y = b1·(1 − exp(−b2·x)); certified values and deviations (recalled; that they fit the data
    // and each other to all digits below speaks for them).
    const Vector14 y{{10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01,
                      66.40, 75.47, 81.78}};
    const Vector14 t{{77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8,
                      593.1, 689.1, 760.0}};
    constexpr double residual_deviation = 1.0187876330e-1;
    EstimateProblem problem;
    problem.unknowns = 2;
    problem.figures = [&](const Eigen::VectorXd& x, std::size_t) {
        Eigen::VectorXd out(14);
        for (int i = 0; i < 14; ++i) {
            out[i] = (100.0 + 400.0 * x[0]) * (1.0 - std::exp(-1e-3 * (0.1 + 0.9 * x[1]) * t[i]));
        }
        return out;
    };
    problem.seen = y;
    problem.errors = Eigen::VectorXd::Constant(14, residual_deviation);
    const ParameterEstimate found =
        estimate_parameters(problem, {.step = 1e-4, .enough = 1e-12, .scatter = false});
    CHECK(100.0 + 400.0 * found.x[0] == doctest::Approx(2.3894212918e2).epsilon(1e-6));
    CHECK(1e-3 * (0.1 + 0.9 * found.x[1]) == doctest::Approx(5.5015643181e-4).epsilon(1e-6));
    CHECK(found.chi_square * residual_deviation * residual_deviation ==
          doctest::Approx(1.2455138894e-1).epsilon(1e-8));
    CHECK(found.freedom == 12);
    CHECK(400.0 * std::sqrt(found.covariance(0, 0)) == doctest::Approx(2.7070075241).epsilon(1e-4));
    CHECK(9e-4 * std::sqrt(found.covariance(1, 1)) ==
          doctest::Approx(7.2668688436e-6).epsilon(1e-4));
    // The curve bends: its profile leans, and its half is the deviation within a few per cent.
    const double half = 0.5 * (found.intervals[0].high - found.intervals[0].low);
    CHECK(400.0 * half == doctest::Approx(1.96 * 2.7070075241).epsilon(0.03));
    CHECK(found.intervals[0].high - found.x[0] > found.x[0] - found.intervals[0].low);
}

TEST_CASE("Intervals hold the truth as often as they say, and so does chi-square") {
    // 200 noisy repetitions with different truths; 95 % of 400 intervals are 380, and a binomial
    // count leaves 362…396 once in 10 000 (±3.9 deviations of 4.36).
    EstimateProblem problem = decay();
    int inside = 0, refused = 0;
    constexpr int repetitions = 200;
    for (std::uint64_t r = 0; r < repetitions; ++r) {
        Eigen::VectorXd truth(2);
        truth << 0.2 + 0.6 * counted_random(1, r, 0), 0.3 + 0.5 * counted_random(1, r, 1);
        problem.seen = problem.figures(truth, 0);
        for (int i = 0; i < 8; ++i) problem.seen[i] += problem.errors[i] * normal(r, i);
        const ParameterEstimate found =
            estimate_parameters(problem, {.climbs = 1, .scatter = false, .threads = 1});
        for (int j = 0; j < 2; ++j) {
            inside += interval(found, j).low <= truth[j] && truth[j] <= interval(found, j).high;
        }
        refused += found.chance < 0.01;
        CHECK(found.freedom == 6);
    }
    CHECK(inside >= 362);
    CHECK(inside <= 396);
    CHECK(refused <= 9);  // 2 are due; a Poisson count of 2 is above 9 once in 20 000
}

TEST_CASE("Unknowns that figures cannot tell apart are named, with what would") {
    // Only the product of both is seen, on logarithmic scales of equal width.
    EstimateProblem problem;
    problem.unknowns = 3;
    problem.figures = [](const Eigen::VectorXd& x, std::size_t) {
        Eigen::VectorXd out(4);
        const double product = std::exp(x[0] + x[1]);
        out << product, product * product, 5.0 * x[2], std::exp(x[0]);
        return out;
    };
    Eigen::VectorXd truth(3);
    truth << 0.4, 0.7, 0.5;
    problem.seen = problem.figures(truth, 0);
    problem.seen[3] = std::nan("");
    problem.errors = Eigen::Vector4d(0.05, 0.1, 0.1, 0.02);
    const ParameterEstimate found = estimate_parameters(problem);
    CHECK(found.x[0] + found.x[1] == doctest::Approx(1.1).epsilon(0.01));
    const EstimateDirection& worst = found.directions.back();
    CHECK_FALSE(worst.told);
    CHECK(std::abs(worst.along[0] + worst.along[1]) < 1e-3);
    CHECK(std::abs(worst.along[2]) < 1e-3);
    CHECK(found.directions[1].told);
    CHECK(found.freedom == 1);
    // x0 + x1 = 1.1 with both in 0…1: either lies from 0.1 on, and its upper end is open.
    for (int j = 0; j < 2; ++j) {
        CHECK(interval(found, j).high_open);
        CHECK_FALSE(interval(found, j).low_open);
        CHECK(interval(found, j).low == doctest::Approx(0.1).epsilon(0.4));
    }
    CHECK_FALSE(found.intervals[2].low_open);
    REQUIRE(found.further.size() == 1);
    CHECK(found.further[0].figure == 3);
    CHECK(found.further[0].deviations[0] < 0.1 * found.deviations[0]);
    CHECK(found.further[0].deviations[1] < 0.1 * found.deviations[1]);
    CHECK(found.further[0].deviations[2] == doctest::Approx(found.deviations[2]).epsilon(1e-3));
}

TEST_CASE("Figures beyond what the ranges can give are refused by chi-square") {
    EstimateProblem problem = decay();
    problem.seen = problem.figures(Eigen::Vector2d(1.4, 0.5), 0);
    const ParameterEstimate found = estimate_parameters(problem);
    CHECK(found.x[0] == doctest::Approx(1.0));
    CHECK(found.chance < 1e-6);
    CHECK(found.intervals[0].high_open);
    problem.seen.setConstant(std::nan(""));
    CHECK_THROWS_AS((void)estimate_parameters(problem), ModelError);
}

TEST_CASE("Scatter of the model itself widens the intervals, and nothing depends on threads") {
    EstimateProblem problem = decay();
    const auto smooth = problem.figures;
    // A jitter that knows no neighbours, even, so that its deviation is 0.06·√(1/3).
    problem.figures = [&](const Eigen::VectorXd& x, std::size_t worker) {
        Eigen::VectorXd out = smooth(x, worker);
        const double hash = 1e5 * (std::sin(1e7 * x[0]) + std::sin(2e7 * x[1]));
        out[0] += 0.06 * (2.0 * (hash - std::floor(hash)) - 1.0);
        return out;
    };
    problem.seen = smooth(Eigen::Vector2d(0.5, 0.5), 0);
    const ParameterEstimate one = estimate_parameters(problem, {.threads = 1});
    const ParameterEstimate three = estimate_parameters(problem, {.threads = 3});
    CHECK(one.scatter[0] > 0.015);
    CHECK(one.scatter[0] < 0.06);
    CHECK(one.scatter[1] < 0.003);
    CHECK(one.intervals[1].low <= 0.5);
    CHECK(one.intervals[1].high >= 0.5);
    CHECK(one.evaluations == three.evaluations);
    CHECK(one.x == three.x);
    CHECK(one.intervals[0].low == three.intervals[0].low);
    CHECK(one.intervals[1].high == three.intervals[1].high);

    int asked = 0;
    const ParameterEstimate stopped = estimate_parameters(
        problem, {.threads = 1}, {.report = {}, .stop_requested = [&] { return ++asked > 40; }});
    CHECK_FALSE(stopped.complete);
    CHECK(stopped.intervals.empty());
    CHECK(stopped.x.size() == 2);
}

}  // namespace damper::test
