// SPDX-License-Identifier: MIT
// Natural modes held against textbooks, closed forms and SciPy.
#include "libdamper/solvers/modes/natural_modes.hpp"

#include "libdamper/elements/spring.hpp"
#include "libdamper/studies/operating_point.hpp"

#include "tests/support/near.hpp"
#include "tests/support/seed_drivelines.hpp"
#include "tests/support/shipped.hpp"
#include "tests/support/small_lines.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <doctest/doctest.h>
#include <fstream>
#include <numbers>
#include <sstream>
#include <string>
#include <vector>

using namespace damper;
using namespace damper::test;
using Eigen::Index;
using Complex = std::complex<double>;

namespace {

constexpr double pi = std::numbers::pi;

NaturalModes modes_of(const Driveline& line) {
    return natural_modes(linearise(line, start_state(line), Friction::slips));
}

/// `count` equal discs on equal shafts; walls at the ends where asked for.
Driveline chain(int count, double inertia, double stiffness, bool left_wall, bool right_wall) {
    LineBuilder line;
    const Law shaft = linear_spring(stiffness, 0.0);
    for (int i = 0; i < count; ++i) line.mass("disc " + std::to_string(i), inertia);
    if (left_wall) line.element("left wall", {{0, 1.0}}, shaft);
    for (int i = 1; i < count; ++i) {
        line.element("shaft " + std::to_string(i), {{i - 1, 1.0}, {i, -1.0}}, shaft);
    }
    if (right_wall) line.element("right wall", {{count - 1, 1.0}}, shaft);
    return line.done();
}

}  // namespace

TEST_CASE("Holzer's three discs: frequencies, shapes and where their energy is") {
    // W. T. Thomson, Theory of Vibration with Applications, Example 12.4-1: K1 = 0.10e6, K2 =
    // 0.20e6 N m/rad as printed. J = 5, 11, 22 kg m2 and 123.666, 202.658 rad/s are recalled, not
    // read in the source. Shapes derived; shares from them, k·Δ²/(ω²·Σ J·θ²).
    const NaturalModes found =
        modes_of(LineBuilder()
                     .mass("first", 5.0)
                     .mass("second", 11.0)
                     .mass("third", 22.0)
                     .element("shaft 1", {{0, 1.0}, {1, -1.0}}, linear_spring(0.10e6, 0.0))
                     .element("shaft 2", {{1, 1.0}, {2, -1.0}}, linear_spring(0.20e6, 0.0))
                     .done());
    REQUIRE(found.modes.size() == 2);
    CHECK(found.rigid_bodies == 1);
    const double frequency[] = {123.666, 202.658};
    const double inertia[] = {5.0, 11.0, 22.0};
    const double shape[][3] = {{1.0, 0.23534, -0.34494}, {1.0, -1.05352, 0.29949}};
    for (std::size_t m = 0; m < 2; ++m) {
        CAPTURE(m);
        const NaturalMode& mode = found.modes[m];
        CHECK(mode.frequency == near(frequency[m], 1e-5));
        double modal = 0.0;
        for (Index i = 0; i < 3; ++i) modal += inertia[i] * shape[m][i] * shape[m][i];
        for (Index i = 0; i < 3; ++i) {
            CHECK(mode.shape(i) / mode.shape(0) == near(shape[m][i], 1e-4));
            CHECK(mode.kinetic_share(i) ==
                  near(inertia[i] * shape[m][i] * shape[m][i] / modal, 2e-4));
        }
        const double twist = shape[m][0] - shape[m][1];
        CHECK(mode.strain_share(0) ==
              near(0.10e6 * twist * twist / (frequency[m] * frequency[m] * modal), 2e-4));
    }
}

TEST_CASE("three equal discs between walls have Rao's frequencies and shapes") {
    // S. S. Rao, Mechanical Vibrations (SI edition), chapter 6 problem on Fig. 6.28, worked
    // solution: 0.7654, 1.4142, 1.8480 times √(k/J), the last 0.013 % high by its iteration. Exact:
    // √(2 − √2), √2, √(2 + √2).
    const NaturalModes found = modes_of(chain(3, 2.0, 50.0, true, true));
    REQUIRE(found.modes.size() == 3);
    const double unit = std::sqrt(50.0 / 2.0);
    const double root = std::numbers::sqrt2;
    const double published[] = {0.7654, 1.4142, 1.8480};
    const double exact[] = {std::sqrt(2.0 - root), root, std::sqrt(2.0 + root)};
    for (std::size_t m = 0; m < 3; ++m) {
        CHECK(found.modes[m].frequency / unit == near(published[m], 2e-4));
        CHECK(found.modes[m].frequency / unit == near(exact[m], 1e-14));
    }
}

TEST_CASE("uniform chains have the frequencies of their closed forms at every length") {
    // Free–free 2√(k/J)·sin(pπ/2n), p = 1…n−1; fixed–free 2√(k/J)·sin((2p−1)π/(2(2n+1))),
    // p = 1…n; fixed–fixed 2√(k/J)·sin(pπ/(2(n+1))) (derived: standing waves θ_i that meet the end
    // conditions). Rounding of singular values: a few 1e-16 of the largest.
    for (const int n : {2, 3, 6, 17, 40}) {
        CAPTURE(n);
        const double unit = 2.0 * std::sqrt(80.0 / 0.3);
        const NaturalModes free = modes_of(chain(n, 0.3, 80.0, false, false));
        const NaturalModes fixed = modes_of(chain(n, 0.3, 80.0, true, false));
        const NaturalModes both = modes_of(chain(n, 0.3, 80.0, true, true));
        CHECK(free.rigid_bodies == 1);
        CHECK(fixed.rigid_bodies == 0);
        REQUIRE(free.modes.size() + 1 == static_cast<std::size_t>(n));
        REQUIRE(fixed.modes.size() == static_cast<std::size_t>(n));
        REQUIRE(both.modes.size() == static_cast<std::size_t>(n));
        for (int p = 1; p <= n; ++p) {
            CAPTURE(p);
            const auto at = static_cast<std::size_t>(p - 1);
            if (p < n) {
                CHECK(std::abs(free.modes[at].frequency / unit - std::sin(p * pi / (2.0 * n))) <
                      1e-14);
            }
            CHECK(std::abs(fixed.modes[at].frequency / unit -
                           std::sin((2 * p - 1) * pi / (2.0 * (2 * n + 1)))) < 1e-14);
            CHECK(std::abs(both.modes[at].frequency / unit - std::sin(p * pi / (2.0 * (n + 1)))) <
                  1e-14);
        }
    }
}

TEST_CASE("a chain of many discs swings as the continuous shaft does") {
    // Free uniform shaft: ω_p = p·π·√(GI_p/(ρI_p))/L, every textbook, for example S. S. Rao,
    // Mechanical Vibrations, torsional vibration of shafts (recalled). n lumps with half ones at
    // the ends are 2n√(..)·sin(pπ/2n) (derived): low by x²/6 − x⁴/120 + … with x =
    // pπ/2n.
    constexpr int n = 60;
    constexpr double inertia = 2.0;     // of the whole shaft [kg m²]
    constexpr double stiffness = 30.0;  // of the whole shaft [N m/rad]
    LineBuilder line;
    for (int i = 0; i <= n; ++i) {
        line.mass("lump " + std::to_string(i), inertia / n * (i == 0 || i == n ? 0.5 : 1.0));
    }
    for (int i = 0; i < n; ++i) {
        line.element("piece " + std::to_string(i), {{i, 1.0}, {i + 1, -1.0}},
                     linear_spring(stiffness * n, 0.0));
    }
    const NaturalModes found = modes_of(line.done());
    for (int p = 1; p <= 6; ++p) {
        CAPTURE(p);
        const double continuous = p * pi * std::sqrt(stiffness / inertia);
        const double x = 0.5 * p * pi / n;
        const double low = x * x / 6.0 - std::pow(x, 4) / 120.0;
        const double ratio = found.modes[static_cast<std::size_t>(p - 1)].frequency / continuous;
        CHECK(ratio < 1.0);
        CHECK(std::abs(ratio - (1.0 - low)) < std::pow(x, 6) / 5000.0 + 1e-13);
    }
}

TEST_CASE("a shaft with a disc at its end obeys β·tan β = shaft over disc") {
    // Shaft fixed at one end with a disc at the other: β·tan β = J_shaft/J_disc, ω =
    // β·√(k_shaft/J_shaft) (S. Timoshenko, Vibration Problems in Engineering, torsional vibration
    // of shafts; recalled). Inertia ratio 1: β = 0.8603336, 3.4256185. Lumps as above: low by
    // (β/n)²/24 at most times the share of the shaft in the motion.
    constexpr int n = 80;
    LineBuilder line;
    for (int i = 0; i < n; ++i) {
        line.mass("lump " + std::to_string(i), i + 1 == n ? 0.5 / n + 1.0 : 1.0 / n);
    }
    line.element("wall", {{0, 1.0}}, linear_spring(1.0 * n, 0.0));
    for (int i = 1; i < n; ++i) {
        line.element("piece " + std::to_string(i), {{i - 1, 1.0}, {i, -1.0}},
                     linear_spring(1.0 * n, 0.0));
    }
    const NaturalModes found = modes_of(line.done());
    const double beta[] = {0.8603336, 3.4256185};
    for (std::size_t m = 0; m < 2; ++m) {
        CHECK(beta[m] * std::tan(beta[m]) == near(1.0, 1e-6));
        CHECK(std::abs(found.modes[m].frequency / beta[m] - 1.0) <
              std::pow(beta[m] / n, 2) / 12.0 + 1e-7);
    }
}

TEST_CASE("the two-mass car driveline, gear by gear, with the sensitivities of its closed form") {
    // Parameters of a car as in the drivetrain chapter of U. Kiencke, L. Nielsen, Automotive
    // Control Systems (recalled, not read in the source): engine 0.17, gearbox 0.014, final drive
    // 0.031, wheels 1.0 kg m2, shafts 5000 N m/rad with 65 N m s/rad, final drive 3.7, 1400 kg,
    // 0.32 m. f = √(k/μ)/2π, ζ = c/(2√(kμ)), 1/μ = 1/J1 + 1/J2 (derived): ∂ln f/∂ln k = ½,
    // ∂ln f/∂ln J1 = −½·μ/J1.
    struct Row {
        double ratio, frequency, damping;
    };
    for (const Row& row : {Row{3.5, 2.29899, 0.093892}, Row{2.0, 3.7636, 0.1537},
                           Row{1.4, 5.2298, 0.2136}, Row{0.8, 8.6516, 0.3533}}) {
        CAPTURE(row.ratio);
        const double total = row.ratio * 3.7;
        const double at_engine = 0.17 + 0.014 / (row.ratio * row.ratio) + 0.031 / (total * total);
        const double at_wheel = at_engine * total * total;
        const double behind = 1.0 + 1400.0 * 0.32 * 0.32;
        const NaturalModes found = modes_of(
            LineBuilder()
                .mass("engine and gearbox", at_engine)
                .mass("wheels and vehicle", behind)
                .element("shafts", {{0, 1.0 / total}, {1, -1.0}}, linear_spring(5000.0, 65.0))
                .done());
        REQUIRE(found.modes.size() == 1);
        const NaturalMode& mode = found.modes[0];
        CHECK(mode.frequency / (2.0 * pi) == near(row.frequency, 1e-4));
        REQUIRE(mode.damped);
        CHECK(mode.damped->damping_ratio() == near(row.damping, 4e-4));
        CHECK(mode.damped->likeness == near(1.0, 1e-12));  // damping along the only spring
        const double reduced = 1.0 / (1.0 / at_wheel + 1.0 / behind);
        CHECK(mode.by_stiffness(0) == near(0.5 * mode.frequency, 1e-12));
        CHECK(mode.by_inertia(0) == near(-0.5 * mode.frequency * reduced / at_wheel, 1e-12));
        CHECK(mode.by_inertia(1) == near(-0.5 * mode.frequency * reduced / behind, 1e-12));
        // ζ = c/(2√(kμ)): all of it from the shafts, and λ turns with c as the root of
        // λ² + (c/μ)λ + k/μ does: ∂λ/∂ln c = −λ·(c/μ)/(2λ + c/μ).
        CHECK(mode.damped->damping_share(0) == near(mode.damped->damping_ratio(), 1e-12));
        const Complex lambda = mode.damped->lambda;
        const Complex expected = -lambda * (65.0 / reduced) / (2.0 * lambda + 65.0 / reduced);
        CHECK(std::abs(mode.damped->by_damping(0) - expected) < 1e-11 * std::abs(lambda));
        if (row.ratio == 3.5) {
            // Eigenvalues of the three-state matrix: −1.35627 ± 14.38116 i.
            CHECK(lambda.imag() == near(14.38116, 1e-6));
            CHECK(-lambda.real() == near(1.35627, 1e-5));
        }
    }
}

TEST_CASE("four-inertia drivelines of four classes have their tabulated modes, geared or reduced") {
    // Every inertia at its own speed, and once more with all referred to the engine shaft: J/i²,
    // k/i² (a geared line reduced to one shaft, every textbook).
    for (const SeedDriveline& row : seed_drivelines) {
        CAPTURE(row.name);
        const double i = row.ratio * row.final_drive;
        const double middle =
            row.hub + row.output / (row.ratio * row.ratio) + row.final_inertia / (i * i);
        const double body = row.mass * row.radius * row.radius;
        const NaturalModes geared = modes_of(
            LineBuilder()
                .mass("engine", row.engine)
                .mass("gearbox", middle)
                .mass("wheels", row.wheels)
                .mass("vehicle", body)
                .element("disc", {{0, 1.0}, {1, -1.0}}, linear_spring(row.main, 0.0))
                .element("half shafts", {{1, 1.0 / i}, {2, -1.0}}, linear_spring(row.shafts, 0.0))
                .element("tyres", {{2, 1.0}, {3, -1.0}}, linear_spring(row.tyre, 0.0))
                .done());
        const double s = 1.0 / (i * i);
        const NaturalModes reduced = modes_of(
            LineBuilder()
                .mass("engine", row.engine)
                .mass("gearbox", middle)
                .mass("wheels", row.wheels * s)
                .mass("vehicle", body * s)
                .element("disc", {{0, 1.0}, {1, -1.0}}, linear_spring(row.main, 0.0))
                .element("half shafts", {{1, 1.0}, {2, -1.0}}, linear_spring(row.shafts * s, 0.0))
                .element("tyres", {{2, 1.0}, {3, -1.0}}, linear_spring(row.tyre * s, 0.0))
                .done());
        REQUIRE(geared.modes.size() == 3);
        REQUIRE(reduced.modes.size() == 3);
        for (std::size_t m = 0; m < 3; ++m) {
            const NaturalMode& mode = geared.modes[m];
            // Half a unit of the last digit that the table gives.
            const double digit = m == 0 ? 6e-4 : m == 1 ? 6e-3 : 6e-2;
            CHECK(std::abs(mode.frequency / (2.0 * pi) - row.expected[m]) < digit);
            CHECK(mode.frequency == near(reduced.modes[m].frequency, 1e-12));
            CHECK((mode.kinetic_share - reduced.modes[m].kinetic_share).cwiseAbs().maxCoeff() <
                  1e-11);
            CHECK((mode.strain_share - reduced.modes[m].strain_share).cwiseAbs().maxCoeff() <
                  1e-11);
        }
    }
}

TEST_CASE("the idle stage swings at 11.45 Hz against a free engine and 11.25 Hz against a wall") {
    // √(k(1/Je + 1/Jc))/2π with Je = 0.17, Jc = 0.006 kg m2, k = 30 N m/rad (derived). Shares:
    // each inertia has the part of the motion that the other one's inertia is of the sum.
    const Law stage = linear_spring(30.0, 0.0);
    const NaturalModes free = modes_of(LineBuilder()
                                           .mass("engine", 0.17)
                                           .mass("hub and input shaft", 0.006)
                                           .element("idle stage", {{0, 1.0}, {1, -1.0}}, stage)
                                           .done());
    REQUIRE(free.modes.size() == 1);
    CHECK(free.modes[0].frequency / (2.0 * pi) ==
          near(std::sqrt(30.0 * (1.0 / 0.17 + 1.0 / 0.006)) / (2.0 * pi), 1e-14));
    CHECK(free.modes[0].frequency / (2.0 * pi) == near(11.4508, 5e-6));
    CHECK(free.modes[0].kinetic_share(0) == near(0.006 / 0.176, 1e-12));
    CHECK(free.modes[0].kinetic_share(1) == near(0.17 / 0.176, 1e-12));
}

TEST_CASE("a tuned absorber splits one frequency into Den Hartog's two") {
    // J. P. Den Hartog, Mechanical Vibrations, the undamped dynamic absorber tuned to the main
    // system: (ω/ω_a)² = 1 + μ/2 ± √(μ + μ²/4); for μ = 0.2 the ratios are 0.80 and 1.25
    // (recalled).
    for (const double mu : {0.05, 0.2, 0.5}) {
        CAPTURE(mu);
        const NaturalModes found = modes_of(
            LineBuilder()
                .mass("main", 1.0)
                .mass("absorber", mu)
                .element("main spring", {{0, 1.0}}, linear_spring(400.0, 0.0))
                .element("absorber spring", {{0, 1.0}, {1, -1.0}}, linear_spring(400.0 * mu, 0.0))
                .done());
        REQUIRE(found.modes.size() == 2);
        const double root = std::sqrt(mu + 0.25 * mu * mu);
        CHECK(found.modes[0].frequency / 20.0 == near(std::sqrt(1.0 + 0.5 * mu - root), 1e-13));
        CHECK(found.modes[1].frequency / 20.0 == near(std::sqrt(1.0 + 0.5 * mu + root), 1e-13));
        if (mu == 0.2) {
            CHECK(std::abs(found.modes[0].frequency / 20.0 - 0.80) < 0.005);
            CHECK(std::abs(found.modes[1].frequency / 20.0 - 1.25) < 0.005);
        }
    }
}

TEST_CASE(
    "damping in proportion to stiffness and inertia leaves every shape and sums as Rayleigh's") {
    // Lord Rayleigh, The Theory of Sound (proportional damping C = α·M + β·K; recalled):
    // ζ = α/(2ω) + β·ω/2, the shapes those without damping.
    constexpr double alpha = 0.8;
    constexpr double beta = 2e-4;
    LineBuilder line;
    const double inertia[] = {0.2, 0.05, 0.4, 0.1};
    const double stiffness[] = {900.0, 300.0, 2000.0};
    for (int i = 0; i < 4; ++i) {
        line.mass("disc " + std::to_string(i), inertia[i]);
        line.element("drag " + std::to_string(i), {{i, 1.0}},
                     linear_spring(0.0, alpha * inertia[i]));
    }
    for (int i = 0; i < 3; ++i) {
        line.element("shaft " + std::to_string(i), {{i, 1.0}, {i + 1, -1.0}},
                     linear_spring(stiffness[i], beta * stiffness[i]));
    }
    const NaturalModes found = modes_of(line.done());
    REQUIRE(found.modes.size() == 3);
    for (const NaturalMode& mode : found.modes) {
        CAPTURE(mode.frequency);
        REQUIRE(mode.damped);
        CHECK(std::abs(mode.damped->lambda) == near(mode.frequency, 1e-11));
        CHECK(mode.damped->damping_ratio() ==
              near(0.5 * alpha / mode.frequency + 0.5 * beta * mode.frequency, 1e-10));
        CHECK(mode.damped->likeness == near(1.0, 1e-11));
    }
}

TEST_CASE("a damped line of two discs has the roots of its cubic") {
    // J1, J2 on a shaft k with damping c to the ground at J1 alone: λ times a cubic,
    // J1·J2·λ³ + c·J2·λ² + k·(J1 + J2)·λ + c·k = 0 (derived). The root found must satisfy it, and
    // by Vieta the two complex ones and the real one sum to −c/J1.
    constexpr double j1 = 0.17, j2 = 0.03, k = 45.0, c = 0.9;
    const NaturalModes found =
        modes_of(LineBuilder()
                     .mass("first", j1)
                     .mass("second", j2)
                     .element("shaft", {{0, 1.0}, {1, -1.0}}, linear_spring(k, 0.0))
                     .element("drag", {{0, 1.0}}, linear_spring(0.0, c))
                     .done());
    REQUIRE(found.modes.size() == 1);
    REQUIRE(found.modes[0].damped);
    const Complex s = found.modes[0].damped->lambda;
    const Complex value = ((j1 * j2 * s + c * j2) * s + k * (j1 + j2)) * s + c * k;
    CHECK(std::abs(value) < 1e-12 * j1 * j2 * std::pow(std::abs(s), 3));
    const double real_root = -c / j1 - 2.0 * s.real();
    const double rest =
        ((j1 * j2 * real_root + c * j2) * real_root + k * (j1 + j2)) * real_root + c * k;
    CHECK(std::abs(rest) < 1e-10 * c * k);
}

TEST_CASE("an open differential gives one mode to both wheels and one against each other") {
    // Pinion J, two equal sides with inertia w on shafts k, pinion = mean of both (row 1, −½, −½
    // with stiffness K): against each other √(k/w_eff) of one side alone; together that of the
    // three-mass chain. Here the sides carry no inertia of their own at the differential, so the
    // shafts meet in it in series with K (derived): k_together = 1/(1/K + 1/(2k)).
    constexpr double pinion = 0.3, wheel = 0.9, k = 4000.0, mesh = 3e4, side = 0.02;
    const NaturalModes found =
        modes_of(LineBuilder()
                     .mass("pinion", pinion)
                     .mass("side left", side)
                     .mass("side right", side)
                     .mass("wheel left", wheel)
                     .mass("wheel right", wheel)
                     .element("mesh", {{0, 1.0}, {1, -0.5}, {2, -0.5}}, linear_spring(mesh, 0.0))
                     .element("shaft left", {{1, 1.0}, {3, -1.0}}, linear_spring(k, 0.0))
                     .element("shaft right", {{2, 1.0}, {4, -1.0}}, linear_spring(k, 0.0))
                     .done());
    // Against each other: side and wheel on one shaft, the pinion at rest.
    const double against = std::sqrt(k * (1.0 / side + 1.0 / wheel));
    // Together: pinion – mesh – both sides – 2k – both wheels: ω⁴ − bω² + c = 0.
    const double b = mesh / pinion + mesh / (2.0 * side) + k / side + k / wheel;
    const double c = mesh / pinion * (k / side + k / wheel) + mesh / (2.0 * side) * k / wheel;
    const double low = std::sqrt(0.5 * (b - std::sqrt(b * b - 4.0 * c)));
    const double high = std::sqrt(0.5 * (b + std::sqrt(b * b - 4.0 * c)));
    std::vector<double> expected = {against, low, high};
    std::sort(expected.begin(), expected.end());
    REQUIRE(found.modes.size() == 3);
    CHECK(found.rigid_bodies == 2);  // as a whole, and left against right without a twist
    for (std::size_t m = 0; m < 3; ++m) {
        CHECK(found.modes[m].frequency == near(expected[m], 1e-11));
    }
}

namespace {

/// A case of tests/published/data/scipy_modes.txt.
struct ScipyCase {
    std::string vehicle, gear;
    Linearised linear;
    std::vector<double> undamped;
    std::vector<Complex> damped;
};

std::vector<ScipyCase> scipy_cases() {
    std::ifstream file(std::string(DAMPER_SOURCE_DIR) + "/tests/published/data/scipy_modes.txt");
    REQUIRE(file.good());
    std::vector<ScipyCase> cases;
    for (std::string line; std::getline(file, line);) {
        std::istringstream words(line);
        std::string key;
        words >> key;
        if (key.empty() || key[0] == '#') continue;
        if (key == "case") {
            ScipyCase& next = cases.emplace_back();
            words >> next.vehicle >> next.gear;
            continue;
        }
        ScipyCase& now = cases.back();
        std::vector<double> values;
        for (double value = 0.0; words >> value;) values.push_back(value);
        if (key == "inertias") {
            now.linear.mass =
                Eigen::Map<Eigen::VectorXd>(values.data(), static_cast<Index>(values.size()));
        } else if (key == "element") {  // stiffness, damping, ties speeds, row
            REQUIRE(values.size() == static_cast<std::size_t>(now.linear.mass.size()) + 3);
            LinearElement& element = now.linear.elements.emplace_back();
            element.stiffness = values[0];
            element.damping = values[1];
            element.ties_speeds = values[2] != 0.0;
            element.row = Eigen::Map<Eigen::VectorXd>(values.data() + 3, now.linear.mass.size());
        } else if (key == "undamped") {
            now.undamped = values;
        } else if (key == "damped") {
            REQUIRE(values.size() == 2);
            now.damped.emplace_back(values[0], values[1]);
        }
    }
    for (ScipyCase& now : cases) {
        const Index n = now.linear.mass.size();
        now.linear.stiffness = Eigen::MatrixXd::Zero(n, n);
        now.linear.damping = Eigen::MatrixXd::Zero(n, n);
        for (const LinearElement& e : now.linear.elements) {
            now.linear.stiffness += e.stiffness * e.row * e.row.transpose();
            now.linear.damping += e.damping * e.row * e.row.transpose();
        }
    }
    return cases;
}

}  // namespace

TEST_CASE("frequencies and damping of assembled vehicles are those that SciPy finds") {
    // tests/published/data/scipy_modes.py with SciPy 1.10.1 (LAPACK): generalised symmetric
    // eigenvalues of K and M, general eigenvalues of the first-order form of M, C, K. What it can
    // give of a low frequency is bounded by rounding of the highest one: n²·ε·ω_max²/ω² of ω² for
    // the undamped, and as much of the damped.
    const std::vector<ScipyCase> cases = scipy_cases();
    CHECK(cases.size() >= 6);
    std::size_t swings = 0;
    for (const ScipyCase& now : cases) {
        CAPTURE(now.vehicle);
        CAPTURE(now.gear);
        const NaturalModes found = natural_modes(now.linear);
        REQUIRE(found.modes.size() == now.undamped.size());
        const double largest = now.undamped.back();
        const auto n = static_cast<double>(now.linear.mass.size());
        const double rounding = n * n * 2.2e-16;
        std::vector<Complex> own;
        for (std::size_t m = 0; m < found.modes.size(); ++m) {
            const double f = now.undamped[m];
            CHECK(std::abs(found.modes[m].frequency - f) <
                  rounding * (largest * largest / f + largest));
            if (found.modes[m].damped) own.push_back(found.modes[m].damped->lambda);
        }
        CHECK(own.size() == now.damped.size());
        for (const Complex& lambda : now.damped) {
            double nearest = 1e300;
            for (const Complex& one : own) nearest = std::min(nearest, std::abs(one - lambda));
            CAPTURE(lambda.imag());
            CHECK(nearest < 20.0 * rounding * (largest * largest / std::abs(lambda) + largest));
            ++swings;
        }
    }
    CHECK(swings > 40);
}

TEST_CASE("the vehicles of SciPy's cases are still those that are shipped") {
    // A changed vehicle needs its case made anew: tests/published/data/scipy_modes.py.
    for (const ScipyCase& now : scipy_cases()) {
        CAPTURE(now.vehicle);
        CAPTURE(now.gear);
        const OperatingPoint point =
            operating_point(shipped_scenario(now.vehicle), {.gear = now.gear});
        REQUIRE(point.linear.mass.size() == now.linear.mass.size());
        REQUIRE(point.linear.elements.size() == now.linear.elements.size());
        const auto same = [](const Eigen::MatrixXd& a, const Eigen::MatrixXd& b) {
            return (a - b).cwiseAbs().maxCoeff() <= 1e-12 * b.cwiseAbs().maxCoeff();
        };
        CHECK(same(point.linear.mass, now.linear.mass));
        CHECK(same(point.linear.stiffness, now.linear.stiffness));
        CHECK(same(point.linear.damping, now.linear.damping));
    }
}
