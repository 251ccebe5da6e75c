// SPDX-License-Identifier: MIT
#include "libdamper/driveline/linearise.hpp"

#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/numerics/eigen_pairs.hpp"

#include "tests/support/near.hpp"
#include "tests/support/small_lines.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <random>
#include <string>

using namespace damper;
using namespace damper::test;

namespace {

/// A random tree of inertias with gears, friction and lash; `rings` more elements that fit in.
Driveline random_tree(std::mt19937& random, int count, int pieces) {
    std::uniform_real_distribution<double> any(0.1, 2.0);
    LineBuilder line;
    std::vector<double> turns;  // speed of each inertia over that of the first of its piece
    for (int i = 0; i < count; ++i) {
        line.mass("inertia " + std::to_string(i), any(random));
        if (i < pieces) {
            turns.push_back(1.0);
            continue;
        }
        const int partner = static_cast<int>(random() % static_cast<unsigned>(i));
        const double ratio = any(random);
        turns.push_back(turns[static_cast<std::size_t>(partner)] * ratio);
        Cell cell{{{"spring", linear_spring(1000.0 * any(random), any(random))},
                   {"washer", slider({.limit = 1.0, .grip = 1e4, .viscous = any(random)})}}};
        line.chain("element " + std::to_string(i), {{partner, ratio}, {i, -1.0}}, {cell});
    }
    line.element("drag", {{0, 1.0}}, slider({.limit = 0.1, .grip = 50.0, .viscous = 0.01}));
    return line.done();
}

}  // namespace

TEST_CASE("stiffness and damping are symmetric and positive semi-definite") {
    std::mt19937 random(3);
    for (int draw = 0; draw < 20; ++draw) {
        const Driveline line = random_tree(random, 2 + draw % 9, 1 + draw % 2);
        for (const Friction friction : {Friction::sticks, Friction::slips}) {
            const Linearised linear = linearise(line, start_state(line), friction);
            const double size = linear.stiffness.norm();
            CHECK((linear.stiffness - linear.stiffness.transpose()).norm() == 0.0);
            CHECK((linear.damping - linear.damping.transpose()).norm() == 0.0);
            const Eigen::VectorXd k =
                Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(linear.stiffness).eigenvalues();
            const Eigen::VectorXd c =
                Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(linear.damping).eigenvalues();
            CHECK(k.minCoeff() >= -1e-12 * size);
            CHECK(c.minCoeff() >= -1e-12 * linear.damping.norm());
        }
    }
}

TEST_CASE("there is one rigid-body mode for every piece that is not tied to another") {
    std::mt19937 random(5);
    for (int draw = 0; draw < 20; ++draw) {
        const int pieces = 1 + draw % 3;
        const Driveline line = random_tree(random, pieces + 1 + draw % 8, pieces);
        const Linearised linear = linearise(line, start_state(line), Friction::sticks);
        int rigid = 0;
        for (const UndampedMode& mode : undamped_modes(linear.mass, linear.stiffness)) {
            if (mode.frequency < 1e-3) ++rigid;
        }
        CHECK(rigid == pieces);
    }
}

TEST_CASE("modes are orthogonal and solve their own equation") {
    std::mt19937 random(11);
    const Driveline line = random_tree(random, 8, 1);
    const Linearised linear = linearise(line, start_state(line), Friction::slips);
    const auto modes = undamped_modes(linear.mass, linear.stiffness);
    for (std::size_t i = 0; i < modes.size(); ++i) {
        const Eigen::VectorXd left = linear.stiffness * modes[i].shape;
        const Eigen::VectorXd right =
            modes[i].frequency * modes[i].frequency * linear.mass.cwiseProduct(modes[i].shape);
        CHECK((left - right).norm() < 1e-8 * linear.stiffness.norm());
        for (std::size_t j = 0; j < i; ++j) {
            CHECK(std::abs(modes[i].shape.dot(linear.mass.cwiseProduct(modes[j].shape))) < 1e-8);
        }
    }
}

TEST_CASE("sticking friction stiffens an element, slipping friction and drag do not") {
    Cell cell{{{"spring", linear_spring(100.0, 0.5)},
               {"washer", slider({.limit = 1.0, .grip = 4000.0, .play = 0.01, .viscous = 0.2})}}};
    const Driveline line =
        LineBuilder()
            .mass("a", 1.0)
            .mass("b", 1.0)
            .chain("disc", {{0, 1.0}, {1, -1.0}}, {cell})
            .element("drag", {{1, 1.0}}, slider({.limit = 1.0, .grip = 777.0, .viscous = 0.3}))
            .done();
    const Linearised stuck = linearise(line, start_state(line), Friction::sticks);
    const Linearised loose = linearise(line, start_state(line), Friction::slips);
    CHECK(stuck.stiffness(0, 0) == near(4100.0, 1e-12));
    CHECK(loose.stiffness(0, 0) == near(100.0, 1e-12));
    CHECK(stuck.stiffness(1, 1) == near(4100.0, 1e-12));
    CHECK(loose.stiffness(1, 1) == near(100.0, 1e-12));
    for (const Linearised& l : {stuck, loose}) {
        CHECK(l.damping(0, 0) == near(0.7, 1e-12));
        CHECK(l.damping(1, 1) == near(1.0, 1e-12));
    }
}

TEST_CASE("the linearisation is that of the stage and the tooth face in which the state is") {
    const Law stages =
        piecewise_spring({{"coast", 500.0}, {"idle", 30.0}, {"drive", 900.0}}, {-0.05, 0.08});
    for (const double torque : {-20.0, 20.0}) {
        Driveline line = LineBuilder()
                             .mass("engine", 1.0, 100.0)
                             .mass("gear", 0.5, 50.0)
                             .element("disc", {{0, 1.0}, {1, -2.0}}, stages)
                             .input(0, ConstantTorque{torque})
                             .input(1, ConstantTorque{-2.0 * torque})
                             .done();
        const SteadyState steady = steady_state(line);
        const Linearised linear = linearise(line, steady.state, Friction::slips);
        const double k = torque > 0.0 ? 900.0 : 500.0;
        CHECK(linear.stiffness(0, 0) == near(k, 1e-12));
        CHECK(linear.stiffness(0, 1) == near(-2.0 * k, 1e-12));
        CHECK(linear.stiffness(1, 1) == near(4.0 * k, 1e-12));
    }
}
