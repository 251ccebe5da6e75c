// SPDX-License-Identifier: MIT
// Responses to swinging torques: laws that hold for every linear driveline, and agreement with
// runs in time.
#include "libdamper/base/error.hpp"
#include "libdamper/numerics/eigen_pairs.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/response/equivalent.hpp"
#include "libdamper/solvers/response/transfer.hpp"

#include "tests/support/first_harmonic.hpp"
#include "tests/support/near.hpp"
#include "tests/support/random_lines.hpp"
#include "tests/support/small_lines.hpp"

#include <array>
#include <cmath>
#include <complex>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;
using namespace damper::test;
using Complex = std::complex<double>;

namespace {

constexpr double pi = std::numbers::pi;

Linearised linear_of(const RandomLine& random, Friction friction) {
    return linearise(random.line, random.start, friction);
}

double distance(Complex a, Complex b) {
    return std::abs(a - b) / std::max(std::abs(a), std::abs(b));
}

/// Three inertias, damped, one spring to the ground: nothing symmetrical in it.
Driveline grounded_line() {
    return LineBuilder()
        .mass("a", 0.17)
        .mass("b", 0.006)
        .mass("c", 0.9)
        .element("ab", {{0, 1.0}, {1, -1.0}}, linear_spring(900.0, 0.4))
        .element("bc", {{1, 0.31}, {2, -1.0}}, linear_spring(5000.0, 2.0))
        .element("ground", {{2, 1.0}}, linear_spring(300.0, 1.5))
        .done();
}

}  // namespace

TEST_CASE("a torque here turns there what the same torque there turns here") {
    for (unsigned seed = 1; seed <= 40; ++seed) {
        const RandomLine random = random_line(seed);
        for (const Friction friction : {Friction::sticks, Friction::slips}) {
            Transfer transfer(linear_of(random, friction));
            const auto n = static_cast<std::size_t>(transfer.linear().mass.size());
            for (const double f : {0.5, 7.0, 90.0}) {
                CAPTURE(seed);
                CAPTURE(f);
                transfer.set(2.0 * pi * f);
                for (std::size_t i = 0; i < n; ++i) {
                    for (std::size_t j = 0; j < i; ++j) {
                        const Complex there = transfer.between(i, {Observed::angle, j});
                        const Complex here = transfer.between(j, {Observed::angle, i});
                        // Rounding of the solution: 1e-16 times the condition of the matrix,
                        // relative to the largest answer.
                        const double size = transfer.angles(i).cwiseAbs().maxCoeff() +
                                            transfer.angles(j).cwiseAbs().maxCoeff();
                        CHECK(std::abs(there - here) <= 1e-9 * size);
                    }
                }
            }
        }
    }
}

TEST_CASE("answers to several torques add up") {
    const Linearised linear =
        linearise(grounded_line(), start_state(grounded_line()), Friction::slips);
    Transfer transfer(linear);
    transfer.set(61.0);
    Eigen::VectorXcd torque(3);
    torque << Complex(3.0, -2.0), Complex(0.0, 1.5), Complex(-0.7, 0.2);
    const Eigen::VectorXcd together = transfer.angles(torque);
    Eigen::VectorXcd sum = Eigen::VectorXcd::Zero(3);
    for (Eigen::Index i = 0; i < 3; ++i) {
        sum += torque(i) * transfer.angles(static_cast<std::size_t>(i));
    }
    CHECK((together - sum).norm() <= 1e-13 * sum.norm());
}

TEST_CASE("the torques balance at every inertia: what goes in accelerates, damps or twists") {
    for (unsigned seed = 1; seed <= 40; ++seed) {
        CAPTURE(seed);
        const Linearised linear = linear_of(random_line(seed), Friction::sticks);
        Transfer transfer(linear);
        const double w = 2.0 * pi * 13.0;
        transfer.set(w);
        const Eigen::VectorXcd angles = transfer.angles(std::size_t{0});
        Eigen::VectorXcd left = -w * w * linear.mass.cwiseProduct(angles);
        double size = left.cwiseAbs().maxCoeff() + 1.0;
        for (std::size_t e = 0; e < linear.elements.size(); ++e) {
            const Complex torque = amplitude_at({Observed::torque, e}, linear, angles, w);
            left += torque * linear.elements[e].row;
            size += std::abs(torque);
        }
        left(0) -= 1.0;
        CHECK(left.cwiseAbs().maxCoeff() <= 1e-10 * size);
    }
}

TEST_CASE(
    "far below every mode a line without ground turns as one, far above only what is pushed") {
    for (unsigned seed = 1; seed <= 30; ++seed) {
        CAPTURE(seed);
        RandomLine random = random_line(seed, {.smooth = false});
        Linearised linear = linear_of(random, Friction::sticks);
        linear.damping.setZero();
        // Above: θ → −T/(J·ω²) at the pushed inertia, error (k/J)/ω² of the stiffest neighbour.
        const auto modes = undamped_modes(linear.mass, linear.stiffness);
        const double above = 1e4 * std::max(modes.back().frequency, 1.0);
        Transfer transfer(linear);
        transfer.set(above);
        const Complex pushed = transfer.between(0, {Observed::acceleration, 0});
        CHECK(distance(pushed, 1.0 / linear.mass(0)) <= 2e-8);
    }
    // Below: −T/(ΣJ·ω²) of the inertias as seen from the pushed one; ratio 2 counts as square.
    const Driveline line = LineBuilder()
                               .mass("a", 0.3)
                               .mass("b", 0.02)
                               .mass("c", 4.0)
                               .element("ab", {{0, 1.0}, {1, -1.0}}, linear_spring(2e3, 0.3))
                               .element("bc", {{1, 0.5}, {2, -1.0}}, linear_spring(9e3, 1.0))
                               .done();
    Transfer transfer(linearise(line, start_state(line), Friction::sticks));
    // At 2e-4 of the lowest mode: its square, 5e-8, is the modes' share; rounding, 1e-16 times the
    // stiffest k/J over ω², is as much.
    const double w = 0.02;
    transfer.set(w);
    const double whole = 0.3 + 0.02 + 4.0 * 0.25;
    CHECK(distance(transfer.between(0, {Observed::acceleration, 0}), 1.0 / whole) <= 3e-7);
    CHECK(distance(transfer.between(0, {Observed::acceleration, 2}), 0.5 / whole) <= 3e-7);
    // And the shaft carries what accelerates the inertia behind it.
    CHECK(distance(transfer.between(0, {Observed::torque, 1}), 4.0 * 0.5 / whole) <= 1e-6);
}

TEST_CASE("speed, acceleration, twist, its rate and torque are those of the angles") {
    const Driveline line = grounded_line();
    Transfer transfer(linearise(line, start_state(line), Friction::slips));
    const double w = 37.0;
    transfer.set(w);
    const auto at = [&](Observed q, std::size_t i) { return transfer.between(0, {q, i}); };
    const Complex i(0.0, 1.0);
    CHECK(distance(at(Observed::speed, 2), i * w * at(Observed::angle, 2)) < 1e-14);
    CHECK(distance(at(Observed::acceleration, 1), -w * w * at(Observed::angle, 1)) < 1e-14);
    const Complex twist = 0.31 * at(Observed::angle, 1) - at(Observed::angle, 2);
    CHECK(distance(at(Observed::twist, 1), twist) < 1e-12);
    CHECK(distance(at(Observed::twist_rate, 1), i * w * twist) < 1e-12);
    CHECK(distance(at(Observed::torque, 1), (5000.0 + i * w * 2.0) * twist) < 1e-12);
}

TEST_CASE("a small sine torque run in time settles into what the response says") {
    // The exact solver carries its series to the last bit; what is left is the start's decay:
    // the slowest mode of this line has lost 1e-9 of itself after 100 s.
    const double w = 2.0 * pi * 5.0, amplitude = 0.8;
    Driveline line = grounded_line();
    line.inputs.push_back({"torque", 0, SineTorque{.amplitude = amplitude, .frequency = w}});
    const Linearised linear = linearise(line, start_state(line), Friction::slips);
    for (const DampedMode& mode : damped_modes(linear.mass, linear.damping, linear.stiffness)) {
        REQUIRE(std::exp(-100.0 * mode.damping_ratio * mode.frequency) < 1e-9);
    }
    Transfer transfer(linear);
    transfer.set(w);
    for (std::size_t mass = 0; mass < 3; ++mass) {
        CAPTURE(mass);
        AngleTrace trace(mass);
        const TimeOutcome out = solve_exact(
            line, start_state(line), {.end = 101.0, .sample_step = 1.0 / 5.0 / 100.0}, &trace);
        REQUIRE(out.report.complete);
        const Complex run = harmonic_at_end(trace.time, trace.angle, w, 5);
        const Complex said = amplitude * transfer.between(0, {Observed::angle, mass});
        CHECK(distance(run, said) <= 1e-6);
        const Complex run_speed = harmonic_at_end(trace.time, trace.speed, w, 5);
        CHECK(distance(run_speed, amplitude * transfer.between(0, {Observed::speed, mass})) <=
              1e-6);
    }
}

TEST_CASE("an element that is replaced leaves the matrices as if it had been so from the start") {
    const Driveline soft = grounded_line();
    Driveline firm = soft;
    firm.branches[1].chain[0].parts[0].law = linear_spring(7000.0, 9.0);
    Linearised replaced = linearise(soft, start_state(soft), Friction::slips);
    replace_element(replaced, 1, 7000.0, 9.0);
    const Linearised built = linearise(firm, start_state(firm), Friction::slips);
    CHECK((replaced.stiffness - built.stiffness).norm() <= 1e-12 * built.stiffness.norm());
    CHECK((replaced.damping - built.damping).norm() <= 1e-12 * built.damping.norm());
}

TEST_CASE("a linear element is its own equivalent, whatever the swing") {
    const Driveline line = grounded_line();
    const Linearised linear = linearise(line, start_state(line), Friction::slips);
    Branch branch = line.branches[0];
    branch.chain[0].parts[0].law = linear_spring(900.0, 0.0);  // damping goes beside
    branch.damping = 0.4;
    EquivalentLine equivalent(linear, branch, 0, 5.0);
    Transfer transfer(linear);
    for (const double torque : {1e-4, 1.0, 300.0}) {
        const double w = 2.0 * pi * 22.0;
        transfer.set(w);
        Eigen::VectorXcd push = Eigen::VectorXcd::Zero(3);
        push(0) = torque;
        const auto swings = equivalent.swings(w, push);
        REQUIRE(swings.size() == 1);
        CAPTURE(torque);
        CHECK(swings[0].stiffness == near(900.0, 1e-9));
        CHECK(swings[0].damping == near(0.4, 1e-9));
        CHECK(swings[0].mean_twist == near(5.0 / 900.0, 1e-9));
        CHECK(swings[0].mismatch <= 1e-9);
        CHECK(swings[0].amplitude ==
              near(torque * std::abs(transfer.between(0, {Observed::twist, 0})), 1e-9));
        const Linearised with = equivalent.with(swings[0]);
        CHECK((with.stiffness - linear.stiffness).norm() <= 1e-9 * linear.stiffness.norm());
    }
}

TEST_CASE("what asks for nothing sensible is refused") {
    const Driveline line = grounded_line();
    const Linearised linear = linearise(line, start_state(line), Friction::slips);
    Transfer transfer(linear);
    CHECK_THROWS_AS(transfer.set(0.0), ModelError);
    CHECK_THROWS_AS(transfer.set(-3.0), ModelError);
    CHECK_THROWS_AS(transfer.set(std::nan("")), ModelError);
    transfer.set(1.0);
    CHECK_THROWS_AS((void)transfer.angles(std::size_t{3}), ModelError);
    CHECK_THROWS_AS((void)transfer.between(0, {Observed::speed, 3}), ModelError);
    CHECK_THROWS_AS((void)transfer.between(0, {Observed::torque, 3}), ModelError);
    SwingingElement element(line.branches[0], 0.0);
    CHECK_THROWS_AS((void)element.about(0.0, 0.0), ModelError);
}
