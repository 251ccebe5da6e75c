// SPDX-License-Identifier: MIT
// Laws that natural modes obey whatever the driveline, on drivelines drawn by lot.
#include "libdamper/solvers/modes/natural_modes.hpp"

#include "tests/support/near.hpp"
#include "tests/support/random_lines.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <doctest/doctest.h>

using namespace damper;
using namespace damper::test;
using Eigen::Index;
using Complex = std::complex<double>;

namespace {

constexpr unsigned lines = 60;

/// K and C anew from the elements, after one of them was changed.
Linearised again(Linearised linear) {
    linear.stiffness.setZero();
    linear.damping.setZero();
    for (const LinearElement& e : linear.elements) {
        linear.stiffness += e.stiffness * e.row * e.row.transpose();
        linear.damping += e.damping * e.row * e.row.transpose();
    }
    return linear;
}

/// A random driveline in which a share of the elements also has damping, about its start.
Linearised random_linear(unsigned seed) {
    const RandomLine line = random_line(seed, {.smooth = false});
    Linearised linear = linearise(line.line, line.start, Friction::sticks);
    for (std::size_t e = 0; e < linear.elements.size(); e += 2) {
        linear.elements[e].damping += 1e-4 * linear.elements[e].stiffness;
    }
    return again(linear);
}

/// The mode that is like the one given, in another solution.
const NaturalMode& like(const NaturalModes& modes, const NaturalMode& wanted,
                        const Eigen::VectorXd& mass) {
    const NaturalMode* best = &modes.modes.front();
    double most = -1.0;
    for (const NaturalMode& mode : modes.modes) {
        const double common = std::abs(mode.shape.dot(mass.cwiseProduct(wanted.shape)));
        if (common > most) {
            most = common;
            best = &mode;
        }
    }
    return *best;
}

/// The value of a parameter e^step times as large.
enum class What { stiffness, damping, inertia };
Linearised changed(const Linearised& linear, What what, Index at, double step) {
    Linearised out = linear;
    const double factor = std::exp(step);
    const auto i = static_cast<std::size_t>(at);
    if (what == What::stiffness) out.elements[i].stiffness *= factor;
    if (what == What::damping) out.elements[i].damping *= factor;
    if (what == What::inertia) out.mass(at) *= factor;
    return again(out);
}

}  // namespace

TEST_CASE("shapes are orthogonal over mass and stiffness, and shares sum to one") {
    int modes_seen = 0;
    for (unsigned seed = 1; seed <= lines; ++seed) {
        CAPTURE(seed);
        const Linearised linear = random_linear(seed);
        const NaturalModes found = natural_modes(linear);
        CHECK(found.rigid_bodies + static_cast<int>(found.modes.size()) == linear.mass.size());
        for (const NaturalMode& a : found.modes) {
            const double square = a.frequency * a.frequency;
            CAPTURE(a.frequency);
            // Rounding of sums over at most 12 inertias and their largest stiffness.
            const double rounding = 1e-12 * linear.stiffness.cwiseAbs().maxCoeff();
            CHECK(std::abs(a.kinetic_share.sum() - 1.0) < 1e-13);
            CHECK(std::abs(a.strain_share.sum() - 1.0) < 1e-13);
            // Rayleigh's quotient of a shape is its frequency squared.
            const double quotient = a.shape.dot(linear.stiffness * a.shape) /
                                    a.shape.dot(linear.mass.cwiseProduct(a.shape));
            CHECK(std::abs(quotient - square) < 1e-12 * square + 1e2 * rounding);
            for (const NaturalMode& b : found.modes) {
                const double same = &a == &b ? 1.0 : 0.0;
                CHECK(std::abs(a.shape.dot(linear.mass.cwiseProduct(b.shape)) - same) < 1e-12);
            }
            for (std::size_t e = 0; e < linear.elements.size(); ++e) {
                const LinearElement& element = linear.elements[e];
                const double twist = element.row.dot(a.shape);
                CHECK(std::abs(element.stiffness * twist * twist / square -
                               a.strain_share(static_cast<Index>(e))) < 1e-9);
            }
            ++modes_seen;
        }
    }
    CHECK(modes_seen > 150);
}

TEST_CASE("no other shape has a Rayleigh quotient below the first frequency") {
    // Among shapes without any rigid-body motion in them (Rayleigh's principle).
    std::mt19937 random(7);
    std::normal_distribution<double> any;
    for (unsigned seed = 1; seed <= 20; ++seed) {
        CAPTURE(seed);
        const Linearised linear = random_linear(seed);
        const NaturalModes found = natural_modes(linear);
        if (found.modes.empty()) continue;
        for (int trial = 0; trial < 50; ++trial) {
            Eigen::VectorXd shape = Eigen::VectorXd::Zero(linear.mass.size());
            for (const NaturalMode& mode : found.modes) shape += any(random) * mode.shape;
            const double quotient =
                shape.dot(linear.stiffness * shape) / shape.dot(linear.mass.cwiseProduct(shape));
            const double first = found.modes.front().frequency;
            CHECK(quotient >= first * first * (1.0 - 1e-9));
        }
    }
}

TEST_CASE("sensitivities are the derivatives of the frequencies") {
    // Central differences over ±1e-4 in the logarithm: their own error is of the order of the step
    // squared, 1e-8, times the curvature, which a gap to the neighbours of 3 % keeps below 1e2;
    // rounding adds 1e-13/1e-4. Hence 1e-6 of the frequency.
    constexpr double step = 1e-4;
    int checks = 0;
    for (unsigned seed = 1; seed <= 30; ++seed) {
        CAPTURE(seed);
        const Linearised linear = random_linear(seed);
        const NaturalModes found = natural_modes(linear);
        const auto difference = [&](const NaturalMode& mode, What what, Index at) {
            const NaturalModes up = natural_modes(changed(linear, what, at, step));
            const NaturalModes down = natural_modes(changed(linear, what, at, -step));
            return (like(up, mode, linear.mass).frequency -
                    like(down, mode, linear.mass).frequency) /
                   (2.0 * step);
        };
        for (const NaturalMode& mode : found.modes) {
            if (mode.gap < 0.03) continue;
            CAPTURE(mode.frequency);
            for (Index e = 0; e < mode.by_stiffness.size(); ++e) {
                CHECK(std::abs(difference(mode, What::stiffness, e) - mode.by_stiffness(e)) <
                      1e-6 * mode.frequency);
                ++checks;
            }
            for (Index i = 0; i < mode.by_inertia.size(); ++i) {
                CHECK(std::abs(difference(mode, What::inertia, i) - mode.by_inertia(i)) <
                      1e-6 * mode.frequency);
                ++checks;
            }
        }
    }
    CHECK(checks > 1000);
}

TEST_CASE("damped modes solve the equation, and their damping is shared out exactly") {
    int seen = 0;
    for (unsigned seed = 1; seed <= lines; ++seed) {
        CAPTURE(seed);
        const Linearised linear = random_linear(seed);
        for (const NaturalMode& mode : natural_modes(linear).modes) {
            if (!mode.damped) continue;
            const DampedCounterpart& d = *mode.damped;
            CAPTURE(d.lambda.imag());
            const Eigen::VectorXcd mass_times = linear.mass.cast<Complex>().cwiseProduct(d.shape);
            const Eigen::VectorXcd rest = d.lambda * d.lambda * mass_times +
                                          d.lambda * (linear.damping.cast<Complex>() * d.shape) +
                                          linear.stiffness.cast<Complex>() * d.shape;
            const double size = (linear.stiffness.cast<Complex>() * d.shape).cwiseAbs().maxCoeff() +
                                linear.stiffness.cwiseAbs().maxCoeff();
            CHECK(rest.cwiseAbs().maxCoeff() < 1e-10 * size);
            CHECK(std::abs(d.shape.dot(mass_times) - 1.0) < 1e-12);
            // φᴴ·K·φ = |λ|² and Re λ = −½·φᴴ·C·φ for a shape with φᴴ·M·φ = 1: the two roots of a
            // real quadratic.
            CHECK(std::abs(d.damping_share.sum() - d.damping_ratio()) < 1e-9);
            CHECK(d.likeness > 0.0);
            CHECK(d.likeness <= 1.0 + 1e-12);
            ++seen;
        }
    }
    CHECK(seen > 100);
}

TEST_CASE("sensitivities of damped modes are the derivatives of their eigenvalues") {
    // As above; the eigenvalue routine gives about 1e-12 of the largest eigenvalue, over 1e-4.
    constexpr double step = 1e-4;
    int checks = 0;
    for (unsigned seed = 1; seed <= 12; ++seed) {
        CAPTURE(seed);
        const Linearised linear = random_linear(seed);
        const NaturalModes found = natural_modes(linear);
        const auto lambda = [&](const NaturalMode& mode, What what, Index at, double by) {
            const NaturalModes other = natural_modes(changed(linear, what, at, by));
            Complex best;
            for (const NaturalMode& m : other.modes) {
                if (m.damped && std::abs(m.damped->lambda - mode.damped->lambda) <
                                    std::abs(best - mode.damped->lambda)) {
                    best = m.damped->lambda;
                }
            }
            return best;
        };
        for (const NaturalMode& mode : found.modes) {
            if (!mode.damped || mode.gap < 0.05 || mode.damped->damping_ratio() > 0.3) continue;
            const double largest = std::abs(mode.damped->lambda);
            const auto check = [&](What what, Index at, Complex expected) {
                const Complex difference =
                    (lambda(mode, what, at, step) - lambda(mode, what, at, -step)) / (2.0 * step);
                CHECK(std::abs(difference - expected) < 2e-6 * largest);
                ++checks;
            };
            for (Index e = 0; e < mode.by_stiffness.size(); ++e) {
                check(What::stiffness, e, mode.damped->by_stiffness(e));
                check(What::damping, e, mode.damped->by_damping(e));
            }
            for (Index i = 0; i < mode.by_inertia.size(); ++i) {
                check(What::inertia, i, mode.damped->by_inertia(i));
            }
        }
    }
    CHECK(checks > 300);
}

TEST_CASE("four times the stiffness doubles every frequency, four times the inertia halves it") {
    for (unsigned seed = 1; seed <= 20; ++seed) {
        CAPTURE(seed);
        const Linearised linear = random_linear(seed);
        const NaturalModes plain = natural_modes(linear);
        Linearised stiff = linear;
        for (LinearElement& e : stiff.elements) e.stiffness *= 4.0;
        Linearised heavy = linear;
        heavy.mass *= 4.0;
        const NaturalModes doubled = natural_modes(again(stiff));
        const NaturalModes halved = natural_modes(again(heavy));
        REQUIRE(doubled.modes.size() == plain.modes.size());
        REQUIRE(halved.modes.size() == plain.modes.size());
        // Powers of two scale without rounding.
        for (std::size_t m = 0; m < plain.modes.size(); ++m) {
            CHECK(doubled.modes[m].frequency == 2.0 * plain.modes[m].frequency);
            CHECK(halved.modes[m].frequency == 0.5 * plain.modes[m].frequency);
        }
        // ∂f/∂ln k and ∂f/∂ln J over all of them: the same law, to first order.
        for (const NaturalMode& mode : plain.modes) {
            CHECK(mode.by_stiffness.sum() == near(0.5 * mode.frequency, 1e-12));
            CHECK(mode.by_inertia.sum() == near(-0.5 * mode.frequency, 1e-12));
        }
    }
}

TEST_CASE("a soft mode beside a stiff contact keeps its digits") {
    // Shuffle at 1.2 rad/s beside a contact at 1e7 and 1e9 rad/s. From K alone it would drown:
    // 1e-16 of 1e14 is a hundredth of its square. Three equal discs, the last two tied firmly: ω² →
    // k/J·(1 + 1/2) with corrections of k/k_contact. A singular value is known to a few 1e-16 of
    // the largest one.
    for (const double contact : {1e14, 1e18}) {
        CAPTURE(contact);
        const Driveline line =
            LineBuilder()
                .mass("a", 1.0)
                .mass("b", 1.0)
                .mass("c", 1.0)
                .element("soft", {{0, 1.0}, {1, -1.0}}, linear_spring(1.0, 0.0))
                .element("stiff", {{1, 1.0}, {2, -1.0}}, linear_spring(contact, 0.0))
                .done();
        const NaturalModes found =
            natural_modes(linearise(line, start_state(line), Friction::slips));
        REQUIRE(found.modes.size() == 2);
        CHECK(found.rigid_bodies == 1);
        CHECK(std::abs(found.modes[0].frequency - std::sqrt(1.5)) <
              1e-15 * std::sqrt(2.0 * contact));
        CHECK(found.modes[1].frequency == near(std::sqrt(2.0 * contact), 1e-12));
    }
}

TEST_CASE("modes that fall together are marked, and only their sums are those of the law") {
    // Two equal branches on a wall: any two shapes will do.
    const Law spring = linear_spring(100.0, 0.0);
    const Driveline line = LineBuilder()
                               .mass("left", 0.5)
                               .mass("right", 0.5)
                               .element("left spring", {{0, 1.0}}, spring)
                               .element("right spring", {{1, 1.0}}, spring)
                               .done();
    const NaturalModes found = natural_modes(linearise(line, start_state(line), Friction::slips));
    REQUIRE(found.modes.size() == 2);
    CHECK(found.modes[0].repeated);
    CHECK(found.modes[1].repeated);
    for (Index e = 0; e < 2; ++e) {
        const double sum = found.modes[0].by_stiffness(e) + found.modes[1].by_stiffness(e);
        CHECK(sum == near(0.5 * std::sqrt(200.0), 1e-12));
    }
}

TEST_CASE("what ties speeds holds in the undamped motion and slips in the damped one") {
    // A wheel on a vehicle through a damper alone: undamped they are one, J = 1 + 3.
    const auto with = [](double damper) {
        const Driveline line =
            LineBuilder()
                .mass("engine", 2.0)
                .mass("wheel", 1.0)
                .mass("vehicle", 3.0)
                .element("shaft", {{0, 1.0}, {1, -1.0}}, linear_spring(50.0, 0.0))
                .element("tyre", {{1, 1.0}, {2, -1.0}}, linear_spring(0.0, damper))
                .done();
        return natural_modes(linearise(line, start_state(line), Friction::slips));
    };
    const double together = std::sqrt(50.0 * (1.0 / 2.0 + 1.0 / 4.0));
    const double apart = std::sqrt(50.0 * (1.0 / 2.0 + 1.0));
    const NaturalModes firm = with(1e6);
    REQUIRE(firm.modes.size() == 1);
    CHECK(firm.rigid_bodies == 1);
    CHECK(firm.modes[0].frequency == near(together, 1e-12));
    REQUIRE(firm.modes[0].damped);
    CHECK(std::abs(firm.modes[0].damped->lambda) == near(together, 1e-6));
    CHECK(firm.modes[0].damped->likeness == near(1.0, 1e-6));
    const NaturalModes loose = with(1e-6);
    REQUIRE(loose.modes.size() == 1);
    CHECK(loose.modes[0].frequency == near(together, 1e-12));
    REQUIRE(loose.modes[0].damped);
    CHECK(std::abs(loose.modes[0].damped->lambda) == near(apart, 1e-6));
    CHECK(loose.modes[0].damped->likeness < 0.9);
}

TEST_CASE("a driveline without any spring has rigid bodies only") {
    const Driveline line = LineBuilder().mass("a", 1.0).mass("b", 2.0).done();
    const NaturalModes found = natural_modes(linearise(line, start_state(line), Friction::slips));
    CHECK(found.rigid_bodies == 2);
    CHECK(found.modes.empty());
}

TEST_CASE("more damping than critical leaves a mode without a swing") {
    const auto with = [](double share) {
        const Driveline line = LineBuilder()
                                   .mass("a", 1.0)
                                   .element("spring", {{0, 1.0}}, linear_spring(1.0, 2.0 * share))
                                   .done();
        return natural_modes(linearise(line, start_state(line), Friction::slips));
    };
    REQUIRE(with(0.99).modes.size() == 1);
    REQUIRE(with(0.99).modes[0].damped);
    CHECK(with(0.99).modes[0].damped->damping_ratio() == near(0.99, 1e-12));
    CHECK(!with(1.01).modes[0].damped);
}
