// SPDX-License-Identifier: MIT
// Natural frequencies and shapes of torsional chains from textbooks and closed forms, through the
// assembled equations and the eigenvalue solution.
#include "libdamper/driveline/driveline.hpp"
#include "libdamper/driveline/linearise.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/numerics/eigen_pairs.hpp"

#include "tests/support/near.hpp"
#include "tests/support/seed_drivelines.hpp"
#include "tests/support/small_lines.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <string>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double pi = std::numbers::pi;

std::vector<UndampedMode> modes_of(const Driveline& line) {
    const Linearised linear = linearise(line, start_state(line), Friction::slips);
    return undamped_modes(linear.mass, linear.stiffness);
}

Driveline free_chain(int count) {
    LineBuilder chain;
    for (int i = 0; i < count; ++i) chain.mass("disc " + std::to_string(i), 1.0);
    for (int i = 1; i < count; ++i) {
        chain.element("shaft " + std::to_string(i), {{i - 1, 1.0}, {i, -1.0}},
                      linear_spring(1.0, 0.0));
    }
    return chain.done();
}

}  // namespace

TEST_CASE("Holzer's three-disc example has the textbook's frequencies and shapes") {
    // W. T. Thomson, Theory of Vibration with Applications, Example 12.4-1: K1 = 0.10e6,
    // K2 = 0.20e6 N m/rad as printed. J = 5, 11, 22 kg m2 and the results 123.666 and 202.658
    // rad/s are recalled, not read in the source. Shapes derived.
    const auto modes =
        modes_of(LineBuilder()
                     .mass("first", 5.0)
                     .mass("second", 11.0)
                     .mass("third", 22.0)
                     .element("shaft 1", {{0, 1.0}, {1, -1.0}}, linear_spring(0.10e6, 0.0))
                     .element("shaft 2", {{1, 1.0}, {2, -1.0}}, linear_spring(0.20e6, 0.0))
                     .done());
    REQUIRE(modes.size() == 3);
    CHECK(modes[0].frequency == 0.0);
    CHECK(modes[1].frequency == near(123.666, 1e-5));
    CHECK(modes[2].frequency == near(202.658, 1e-5));
    const double second[] = {1.0, 0.23534, -0.34494};
    const double third[] = {1.0, -1.05352, 0.29949};
    for (Eigen::Index i = 0; i < 3; ++i) {
        CHECK(modes[1].shape(i) / modes[1].shape(0) == near(second[i], 1e-4));
        CHECK(modes[2].shape(i) / modes[2].shape(0) == near(third[i], 1e-4));
    }
}

TEST_CASE("three equal discs on four equal shafts between walls have Rao's frequencies") {
    // S. S. Rao, Mechanical Vibrations (SI edition), chapter 6 problem on Fig. 6.28, worked
    // solution: ω/√(k/J) = 0.7654, 1.4142, 1.8480; shapes (1, 1.4142, 1), (1, 0, −1),
    // (1, −1.4147, 1). Exact: √(2 − √2), √2, √(2 + √2).
    const Law shaft = linear_spring(1.0, 0.0);
    const auto modes = modes_of(LineBuilder()
                                    .mass("a", 1.0)
                                    .mass("b", 1.0)
                                    .mass("c", 1.0)
                                    .element("wall a", {{0, 1.0}}, shaft)
                                    .element("ab", {{0, 1.0}, {1, -1.0}}, shaft)
                                    .element("bc", {{1, 1.0}, {2, -1.0}}, shaft)
                                    .element("wall c", {{2, 1.0}}, shaft)
                                    .done());
    REQUIRE(modes.size() == 3);
    const double root = std::numbers::sqrt2;
    const double published[] = {0.7654, 1.4142, 1.8480};
    const double exact[] = {std::sqrt(2.0 - root), root, std::sqrt(2.0 + root)};
    const double middle[] = {1.4142, 0.0, -1.4147};
    for (std::size_t i = 0; i < 3; ++i) {
        CHECK(modes[i].frequency == near(published[i], 2e-4));
        CHECK(modes[i].frequency == near(exact[i], 1e-9));
        CHECK(std::abs(modes[i].shape(1) / modes[i].shape(0) - middle[i]) < 1e-3);
    }
}

TEST_CASE("a free chain of n equal discs has the frequencies 2 sin(pπ/2n)") {
    // Closed form of the uniform free-free chain (derived); for n = 6: 0, 0.517638, 1, 1.414214,
    // 1.732051, 1.931852.
    const double six[] = {0.0, 0.517638, 1.0, 1.414214, 1.732051, 1.931852};
    for (const int n : {6, 40}) {
        const auto modes = modes_of(free_chain(n));
        REQUIRE(modes.size() == static_cast<std::size_t>(n));
        for (int p = 0; p < n; ++p) {
            const double f = modes[static_cast<std::size_t>(p)].frequency;
            CHECK(std::abs(f - 2.0 * std::sin(p * pi / (2.0 * n))) < 1e-9);
            if (n == 6) CHECK(std::abs(f - six[p]) < 1e-6);
        }
    }
}

TEST_CASE("the two-mass car driveline shuffles gear by gear as its closed form says") {
    // Parameters of a car as in the drivetrain chapter of U. Kiencke, L. Nielsen, Automotive
    // Control Systems (recalled, not read in the source): engine 0.17, gearbox 0.014, final drive
    // 0.031, wheels 1.0 kg m2, shafts 5000 N m/rad with 65 N m s/rad, final drive 3.7, 1400 kg,
    // 0.32 m. Frequencies from the closed form √(k/μ)/2π, ζ = c/(2√(kμ)) (derived).
    struct Row {
        double ratio, frequency, damping;
    };
    for (const Row& row : {Row{3.5, 2.29899, 0.093892}, Row{2.0, 3.7636, 0.1537},
                           Row{1.4, 5.2298, 0.2136}, Row{0.8, 8.6516, 0.3533}}) {
        CAPTURE(row.ratio);
        const double total = row.ratio * 3.7;
        // The engine turns at its own speed: the row carries the ratio.
        const double at_engine = 0.17 + 0.014 / (row.ratio * row.ratio) + 0.031 / (total * total);
        const Driveline line =
            LineBuilder()
                .mass("engine and gearbox", at_engine)
                .mass("wheels and vehicle", 1.0 + 1400.0 * 0.32 * 0.32)
                .element("shafts", {{0, 1.0 / total}, {1, -1.0}}, linear_spring(5000.0, 65.0))
                .done();
        const Linearised linear = linearise(line, start_state(line), Friction::slips);
        const auto modes = damped_modes(linear.mass, linear.damping, linear.stiffness);
        REQUIRE(modes.size() == 1);
        CHECK(modes[0].frequency / (2.0 * pi) == near(row.frequency, 1e-4));
        CHECK(modes[0].damping_ratio == near(row.damping, 4e-4));
        if (row.ratio == 3.5) {
            CHECK(modes[0].damped_frequency == near(14.38116, 1e-6));
            CHECK(modes[0].damping_ratio * modes[0].frequency == near(1.35627, 1e-5));
        }
    }
}

TEST_CASE("the idle stage swings at 11.45 Hz against a free and 11.25 Hz against a fixed engine") {
    // Closed form √(k(1/Je + 1/Jc))/2π, Je = 0.17, Jc = 0.006 kg m2, k = 30 N m/rad (derived).
    const Law stage = linear_spring(30.0, 0.0);
    const auto free = modes_of(LineBuilder()
                                   .mass("engine", 0.17)
                                   .mass("hub and input shaft", 0.006)
                                   .element("idle stage", {{0, 1.0}, {1, -1.0}}, stage)
                                   .done());
    CHECK(free[0].frequency == 0.0);
    CHECK(free[1].frequency / (2.0 * pi) == near(11.4508, 5e-6));
    const auto fixed = modes_of(LineBuilder()
                                    .mass("hub and input shaft", 0.006)
                                    .element("idle stage", {{0, -1.0}}, stage)
                                    .done());
    CHECK(fixed[0].frequency / (2.0 * pi) == near(11.2540, 1e-5));
}

TEST_CASE("four-inertia drivelines of four classes have their tabulated modes") {
    // Here every inertia turns at its own speed.
    for (const SeedDriveline& row : seed_drivelines) {
        CAPTURE(row.name);
        const double total = row.ratio * row.final_drive;
        const auto modes =
            modes_of(LineBuilder()
                         .mass("engine", row.engine)
                         .mass("gearbox", row.hub + row.output / (row.ratio * row.ratio) +
                                              row.final_inertia / (total * total))
                         .mass("wheels", row.wheels)
                         .mass("vehicle", row.mass * row.radius * row.radius)
                         .element("disc", {{0, 1.0}, {1, -1.0}}, linear_spring(row.main, 0.0))
                         .element("half shafts", {{1, 1.0 / total}, {2, -1.0}},
                                  linear_spring(row.shafts, 0.0))
                         .element("tyres", {{2, 1.0}, {3, -1.0}}, linear_spring(row.tyre, 0.0))
                         .done());
        REQUIRE(modes.size() == 4);
        CHECK(modes[0].frequency < 1e-4 * modes[1].frequency);
        // Half a unit of the last digit printed.
        CHECK(std::abs(modes[1].frequency / (2.0 * pi) - row.expected[0]) < 0.5001e-3);
        CHECK(std::abs(modes[2].frequency / (2.0 * pi) - row.expected[1]) < 0.5001e-2);
        CHECK(std::abs(modes[3].frequency / (2.0 * pi) - row.expected[2]) < 0.5001e-1);
    }
}
