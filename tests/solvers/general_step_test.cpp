// SPDX-License-Identifier: MIT
// What the guards of the general solver take for granted of its step, and its crank torque.
#include "libdamper/solvers/general/crank_series.hpp"
#include "libdamper/solvers/general/step.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <doctest/doctest.h>
#include <vector>

using namespace damper;

TEST_CASE("the interpolant weighs the slopes no more than the guards take for granted") {
    // Seven independent numbers, of which the slope of the i-th is 1 in the i-th stage alone: what
    // becomes of it inside the step is the weight of that stage.
    using Vector = std::vector<double>;
    constexpr std::size_t stages = Equations::stages;
    boost::numeric::odeint::runge_kutta_dopri5<Vector> stepper;
    const Vector start(stages, 0.0);
    Vector first(stages, 0.0), end(stages, 0.0), last(stages, 0.0), inside(stages, 0.0);
    first[0] = 1.0;
    std::size_t stage = 1;
    const auto pulse = [&stage](const Vector&, Vector& slope, double) {
        std::fill(slope.begin(), slope.end(), 0.0);
        slope[stage++] = 1.0;
    };
    stepper.do_step(pulse, start, first, 0.0, end, last, 1.0);
    REQUIRE(stage == stages);
    double most = 0.0;
    for (int i = 0; i <= 20000; ++i) {
        const double x = i / 20000.0;
        stepper.calc_state(x, inside, start, first, 0.0, end, last, 1.0);
        double sum = 0.0, size = 0.0;
        for (const double weight : inside) {
            sum += weight;
            size += std::abs(weight);
        }
        CHECK(std::abs(sum - x) < 1e-14);  // a constant slope leads straight on
        CHECK(inside[1] == 0.0);           // which is why the second stage is not looked at
        most = std::max(most, size);
    }
    CHECK(most < Step::most_weight);
    CHECK(most > Step::most_weight - 2e-4);
}

TEST_CASE("a crank series is the torque it was made of") {
    const std::vector<std::vector<double>> sets = {{},
                                                   {0.5},
                                                   {2.0, 4.0, 6.0, 8.0, 10.0},
                                                   {0.5, 1.5, 2.0, 7.5, 16.0},
                                                   {3.0},
                                                   {1.5, 3.0, 4.5, 6.0}};
    for (const std::vector<double>& orders : sets) {
        CrankTorque torque{.mean = 12.0, .harmonics = {}};
        double size = torque.mean;
        for (const double order : orders) {
            torque.harmonics.push_back({order, 40.0 / order, -25.0 + 3.0 * order});
            size +=
                std::abs(torque.harmonics.back().cosine) + std::abs(torque.harmonics.back().sine);
        }
        const CrankSeries series(torque);
        for (int i = -200; i <= 200; ++i) {
            const double angle = 0.37 * i;
            double sum = torque.mean;
            for (const CrankHarmonic& h : torque.harmonics) {
                sum += h.cosine * std::cos(h.order * angle) + h.sine * std::sin(h.order * angle);
            }
            CHECK(std::abs(series.at(angle) - sum) < 1e-12 * size);
        }
    }
}
