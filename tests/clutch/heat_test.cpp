// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/clutch/heat_network.hpp"
#include "libdamper/clutch/start.hpp"

#include <cmath>
#include <doctest/doctest.h>

using namespace damper;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

MatrixXd between(double conductance) {
    MatrixXd matrix = MatrixXd::Zero(2, 2);
    matrix(0, 1) = matrix(1, 0) = conductance;
    return matrix;
}

HeatNetwork two_plates() {
    return {VectorXd{{1800.0, 3000.0}}, VectorXd{{5.0, 6.0}}, between(2.0)};
}

}  // namespace

TEST_CASE("one plate: heating and cooling are the known exponentials") {
    const double C = 2500.0, G = 8.0, q = 900.0;
    const HeatNetwork plate(VectorXd::Constant(1, C), VectorXd::Constant(1, G),
                            MatrixXd::Zero(1, 1));
    const VectorXd power = VectorXd::Constant(1, q);
    const VectorXd cold = VectorXd::Zero(1);
    CHECK(plate.slowest() == doctest::Approx(C / G));
    for (const double t : {0.001, 1.0, 100.0, 5000.0}) {
        CAPTURE(t);
        CHECK(plate.after(cold, t, power, power)(0) ==
              doctest::Approx(q / G * -std::expm1(-G * t / C)).epsilon(1e-12));
        CHECK(plate.cooled(VectorXd::Constant(1, 80.0), t)(0) ==
              doctest::Approx(80.0 * std::exp(-G * t / C)).epsilon(1e-12));
    }
}

TEST_CASE("without cooling the plate warms by heat over heat capacity") {
    // 4769.483 J, half of it into 5 kg of 500 J/(kg K): 0.953897 K.
    const HeatNetwork plate(VectorXd::Constant(1, 5.0 * 500.0), VectorXd::Zero(1),
                            MatrixXd::Zero(1, 1));
    const double heat = 0.5 * 4769.483;
    const VectorXd first = VectorXd::Constant(1, 2.0 * heat / 1.5);
    CHECK(plate.after(VectorXd::Zero(1), 1.5, first, VectorXd::Zero(1))(0) ==
          doctest::Approx(0.953897).epsilon(1e-6));
    CHECK(std::isinf(plate.slowest()));
    CHECK(plate.heat_lost(VectorXd::Zero(1), 1.5, first, VectorXd::Zero(1)) == 0.0);
}

TEST_CASE("two plates: the closed form is what small steps come to") {
    const HeatNetwork network = two_plates();
    const VectorXd first{{8000.0, 5000.0}};
    const VectorXd last{{1000.0, 0.0}};
    const VectorXd start{{20.0, 5.0}};
    const double time = 200.0;
    // Classical Runge–Kutta of order four; its error at these steps is below 1e-10.
    const auto rate = [&](double t, const VectorXd& x) {
        const VectorXd q = first + (last - first) * t / time;
        return VectorXd{{(q(0) - 5.0 * x(0) - 2.0 * (x(0) - x(1))) / 1800.0,
                         (q(1) - 6.0 * x(1) - 2.0 * (x(1) - x(0))) / 3000.0}};
    };
    VectorXd x = start;
    const int steps = 4000;
    const double h = time / steps;
    for (int n = 0; n < steps; ++n) {
        const double t = n * h;
        const VectorXd a = rate(t, x);
        const VectorXd b = rate(t + 0.5 * h, x + 0.5 * h * a);
        const VectorXd c = rate(t + 0.5 * h, x + 0.5 * h * b);
        const VectorXd d = rate(t + h, x + h * c);
        x += h / 6.0 * (a + 2.0 * b + 2.0 * c + d);
    }
    const VectorXd exact = network.after(start, time, first, last);
    CHECK((exact - x).cwiseAbs().maxCoeff() < 1e-9);
}

TEST_CASE("heat is kept: what came in is stored or has gone to the air") {
    const HeatNetwork network = two_plates();
    const VectorXd first{{8000.0, 8000.0}};
    const VectorXd none = VectorXd::Zero(2);
    VectorXd theta = none;
    double in = 0.0;
    double lost = 0.0;
    for (int start = 0; start < 30; ++start) {
        in += 0.5 * 2.0 * first.sum();
        lost += network.heat_lost(theta, 2.0, first, none);
        theta = network.after(theta, 2.0, first, none);
        lost += network.heat_lost(theta, 58.0, none, none);
        theta = network.cooled(theta, 58.0);
    }
    CHECK(network.stored(theta) + lost == doctest::Approx(in).epsilon(1e-12));
    CHECK(theta.minCoeff() > 0.0);
}

TEST_CASE("the way does not matter: two times in a row are one of their sum") {
    const HeatNetwork network = two_plates();
    const VectorXd steady{{300.0, 100.0}};
    const VectorXd theta{{10.0, 80.0}};
    const VectorXd once = network.after(theta, 75.0, steady, steady);
    const VectorXd twice =
        network.after(network.after(theta, 30.0, steady, steady), 45.0, steady, steady);
    CHECK((once - twice).cwiseAbs().maxCoeff() < 1e-11);
    const VectorXd none = VectorXd::Zero(2);
    CHECK((network.cooled(theta, 40.0) - network.after(theta, 40.0, none, none))
              .cwiseAbs()
              .maxCoeff() < 1e-11);
    // Warm plates only ever cool, and heat does not run uphill.
    double hottest = 80.0;
    for (double t = 10.0; t < 2000.0; t += 10.0) {
        const double now = network.cooled(theta, t).maxCoeff();
        CHECK(now < hottest);
        hottest = now;
    }
}

TEST_CASE("a heat network that cannot be is refused") {
    const VectorXd two{{1.0, 2.0}};
    CHECK_THROWS_AS((HeatNetwork(VectorXd{{1.0, 0.0}}, two, between(1.0))), ModelError);
    CHECK_THROWS_AS((HeatNetwork(two, VectorXd{{-1.0, 1.0}}, between(1.0))), ModelError);
    CHECK_THROWS_AS((HeatNetwork(two, VectorXd::Zero(1), between(1.0))), ModelError);
    MatrixXd lopsided = between(1.0);
    lopsided(0, 1) = 2.0;
    CHECK_THROWS_AS((HeatNetwork(two, two, lopsided)), ModelError);
}

TEST_CASE("a start turns into heat and motion all that the engine gives") {
    // Engine work = heat + kinetic energy of both sides + work against the load.
    Start start;
    start.engine_inertia = 0.165;
    start.vehicle_inertia = 0.7;
    start.engine_speed = 157.0;
    start.input_speed = 12.0;
    start.clutch_torque = 110.0;
    start.engine_torque = 90.0;
    start.load_torque = 40.0;
    const StartHeat heat = heat_of(start);
    REQUIRE(heat.sticks);
    const double end = heat.input_speed;
    const double engine_angle = 0.5 * (start.engine_speed + end) * heat.slip_time;
    const double input_angle = 0.5 * (start.input_speed + end) * heat.slip_time;
    const double kinetic =
        0.5 * start.engine_inertia * (end * end - start.engine_speed * start.engine_speed) +
        0.5 * start.vehicle_inertia * (end * end - start.input_speed * start.input_speed);
    CHECK(start.engine_torque * engine_angle ==
          doctest::Approx(heat.energy + kinetic + start.load_torque * input_angle));
}

TEST_CASE("without torque and load the heat does not depend on the clutch torque") {
    Start start;
    start.engine_inertia = 0.2;
    start.vehicle_inertia = 0.5;
    start.engine_speed = 100.0;
    for (const double torque : {20.0, 90.0, 400.0}) {
        start.clutch_torque = torque;
        CHECK(heat_of(start).energy == doctest::Approx(0.5 * 0.1 / 0.7 * 1e4));
    }
}

TEST_CASE("a clutch that cannot overcome the load does not stick") {
    Start start;
    start.engine_inertia = 0.2;
    start.vehicle_inertia = 0.5;
    start.engine_speed = 100.0;
    start.clutch_torque = 50.0;
    start.engine_torque = 50.0;
    start.load_torque = 60.0;
    CHECK_FALSE(heat_of(start).sticks);
}
