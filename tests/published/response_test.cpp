// SPDX-License-Identifier: MIT
// Responses over frequency and equivalent linearisation against closed forms.
#include "libdamper/assemble/disc.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/numerics/resonances.hpp"
#include "libdamper/solvers/response/equivalent.hpp"
#include "libdamper/solvers/response/first_harmonic.hpp"
#include "libdamper/solvers/response/transfer.hpp"

#include "tests/support/near.hpp"
#include "tests/support/small_lines.hpp"

#include <cmath>
#include <complex>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <numbers>
#include <utility>
#include <vector>

using namespace damper;
using namespace damper::test;
using Complex = std::complex<double>;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double degree = pi / 180.0;

Linearised at_rest(const Driveline& line, Friction friction = Friction::slips) {
    return linearise(line, start_state(line), friction);
}

/// Flywheel and hub with a spring between them.
Driveline pair_of(double flywheel, double hub, double k, double c) {
    return LineBuilder()
        .mass("flywheel", flywheel)
        .mass("hub", hub)
        .element("spring", {{0, 1.0}, {1, -1.0}}, linear_spring(k, c))
        .done();
}

Branch branch_of(std::vector<Cell> chain) {
    return {.name = "bench",
            .kind = "test",
            .row = {{0, 1.0}},
            .damping = 0.0,
            .chain = std::move(chain)};
}

Branch one_law(Law law) {
    return branch_of({{{{"part", std::move(law)}}}});
}

FirstHarmonic swing(const Branch& branch, double amplitude, double mean = 0.0) {
    SwingingElement element(branch, 0.0);
    return element.about(mean, amplitude);
}

}  // namespace

TEST_CASE("a shaken base passes on what the textbook formula says, over the whole range") {
    // |T| = √((1 + (2ζr)²)/((1 − r²)² + (2ζr)²)); 1 at r = √2 for every ζ, 0.355862 at r = 2,
    // ζ = 0.1, 0.130412 at r = 3, ζ = 0.05 (closed form of any textbook of vibration; derived). The
    // ratio of both inertias' motions does not depend on the flywheel.
    struct Row {
        double r, zeta, passed;
    };
    const double j = 0.006, k = 30.0, wn = std::sqrt(k / j);
    for (const Row& row : {Row{std::numbers::sqrt2, 0.02, 1.0}, Row{std::numbers::sqrt2, 0.4, 1.0},
                           Row{2.0, 0.1, 0.355862}, Row{3.0, 0.05, 0.130412}}) {
        for (const double flywheel : {0.01, 0.17, 40.0}) {
            CAPTURE(row.r);
            CAPTURE(flywheel);
            Transfer transfer(at_rest(pair_of(flywheel, j, k, 2.0 * row.zeta * j * wn)));
            transfer.set(row.r * wn);
            const double passed = std::abs(transfer.between(0, {Observed::speed, 1}) /
                                           transfer.between(0, {Observed::speed, 0}));
            CHECK(passed == near(row.passed, 2e-6));  // six printed digits
            const double z = 2.0 * row.zeta * row.r, d = 1.0 - row.r * row.r;
            CHECK(passed == near(std::sqrt((1.0 + z * z) / (d * d + z * z)), 1e-10));
        }
    }
}

TEST_CASE("two inertias under a torque of the firing order move as their transfer function says") {
    // Derived from the 2 × 2 complex equations by hand: 296.036 rad/s² (angle −179.866°) and
    // 57.7535 rad/s² (angle 19.841°) under 50 N m at order 2 of 850 rpm; free of a ground.
    const double w = 2.0 * pi * 2.0 * 850.0 / 60.0;
    Transfer transfer(at_rest(pair_of(0.17, 0.006, 30.0, 0.05)));
    transfer.set(w);
    const Complex engine = 50.0 * transfer.between(0, {Observed::angle, 0});
    const Complex hub = 50.0 * transfer.between(0, {Observed::angle, 1});
    CHECK(std::abs(50.0 * transfer.between(0, {Observed::acceleration, 0})) == near(296.036, 2e-6));
    CHECK(std::abs(50.0 * transfer.between(0, {Observed::acceleration, 1})) == near(57.7535, 2e-6));
    CHECK(std::arg(engine) / degree == near(-179.866, 5e-6));
    CHECK(std::arg(hub) / degree == near(19.841, 3e-5));
}

TEST_CASE("an undamped absorber holds its main inertia still at its own frequency") {
    // J. P. Den Hartog, Mechanical Vibrations, 4th ed. 1956, section 3.2 (recalled; derived again):
    // x₁/x_st = (1 − ω²/ωa²)/[(1 + k/K − ω²/Ω²)(1 − ω²/ωa²) − k/K], absorber ωa² = k/m, Ω² = K/M.
    const double main = 0.5, small = 0.1, k_main = 2000.0, k_small = 500.0;
    const Driveline line =
        LineBuilder()
            .mass("main", main)
            .mass("absorber", small)
            .element("ground", {{0, 1.0}}, linear_spring(k_main, 0.0))
            .element("absorber spring", {{0, 1.0}, {1, -1.0}}, linear_spring(k_small, 0.0))
            .done();
    Transfer transfer(at_rest(line));
    const double wa2 = k_small / small, W2 = k_main / main, mu = k_small / k_main;
    for (const double w : {5.0, 40.0, 60.0, 69.0, 75.0, 120.0, 900.0}) {
        CAPTURE(w);
        transfer.set(w);
        const double a = 1.0 - w * w / wa2;
        const double bottom = (1.0 + mu - w * w / W2) * a - mu;
        CHECK(transfer.between(0, {Observed::angle, 0}).real() * k_main == near(a / bottom, 1e-10));
        CHECK(transfer.between(0, {Observed::angle, 1}).real() * k_main ==
              near(1.0 / bottom, 1e-10));
    }
    transfer.set(std::sqrt(wa2));
    CHECK(std::abs(transfer.between(0, {Observed::angle, 0})) * k_main < 1e-12);
    // Its spring then holds the whole torque: −1 N m per N m.
    CHECK(transfer.between(0, {Observed::torque, 1}).real() == near(1.0, 1e-12));
}

TEST_CASE(
    "a damped absorber follows the closed form and has its two points without damping's say") {
    // Den Hartog, as above, section 3.3, eqs. 3.24–3.25 (recalled; derived again):
    // (x₁/x_st)² = ((2ζg)² + (g² − f²)²) / ((2ζg)²(g² − 1 + μg²)² + (μf²g² − (g² − 1)(g² − f²))²),
    // g = ω/Ω, f = ωa/Ω, μ = m/M, ζ = c/(2mΩ). With f = 1/(1 + μ) both points stand √(1 + 2/μ)
    // high.
    const double main = 0.4, k_main = 1600.0, mu = 0.2, f = 1.0 / (1.0 + mu);
    const double Omega = std::sqrt(k_main / main), small = mu * main;
    const double k_small = small * f * f * Omega * Omega;
    const auto height = [&](double g, double zeta) {
        const double c = 2.0 * zeta * small * Omega;
        const Driveline line =
            LineBuilder()
                .mass("main", main)
                .mass("absorber", small)
                .element("ground", {{0, 1.0}}, linear_spring(k_main, 0.0))
                .element("absorber", {{0, 1.0}, {1, -1.0}}, linear_spring(k_small, c))
                .done();
        Transfer transfer(at_rest(line));
        transfer.set(g * Omega);
        return k_main * std::abs(transfer.between(0, {Observed::angle, 0}));
    };
    for (const double zeta : {0.02, 0.1, 0.32, 2.0}) {
        for (const double g : {0.3, 0.8, 0.95, 1.1, 2.5}) {
            CAPTURE(zeta);
            CAPTURE(g);
            const double d = 2.0 * zeta * g, g2 = g * g, f2 = f * f;
            const double top = d * d + (g2 - f2) * (g2 - f2);
            const double first = d * (g2 - 1.0 + mu * g2);
            const double second = mu * f2 * g2 - (g2 - 1.0) * (g2 - f2);
            CHECK(height(g, zeta) ==
                  near(std::sqrt(top / (first * first + second * second)), 1e-10));
        }
    }
    // The points: (2 + μ)g⁴ − 2(1 + f²(1 + μ))g² + 2f² = 0.
    const double b = 1.0 + f * f * (1.0 + mu);
    const double root = std::sqrt(b * b - 2.0 * f * f * (2.0 + mu));
    for (const double g2 : {(b - root) / (2.0 + mu), (b + root) / (2.0 + mu)}) {
        for (const double zeta : {0.01, 0.2, 3.0}) {
            CAPTURE(g2);
            CHECK(height(std::sqrt(g2), zeta) == near(std::sqrt(1.0 + 2.0 / mu), 1e-9));
        }
    }
}

TEST_CASE("the top and the half-power width of a lone mode are those of the closed form") {
    // |1/(1 − r² + 2iζr)|: top 1/(2ζ√(1 − ζ²)) at r = √(1 − 2ζ²); power is half of the top's at
    // r² = 1 − 2ζ² ∓ 2ζ√(1 − ζ²) (any textbook; derived). Their distance over twice the top's r is
    // the damping told; it is ζ to within ζ² of itself times 1.5 or so.
    for (const double zeta : {0.005, 0.03, 0.1}) {
        CAPTURE(zeta);
        const double j = 0.2, k = 800.0, wn = std::sqrt(k / j);
        const Driveline line =
            LineBuilder()
                .mass("wheel", j)
                .element("spring", {{0, 1.0}}, linear_spring(k, 2.0 * zeta * j * wn))
                .done();
        Transfer transfer(at_rest(line));
        std::vector<double> w;
        for (int i = 0; i <= 400; ++i) w.push_back(wn * std::pow(10.0, -1.0 + i / 200.0));
        const auto found = resonances(
            [&](double at) {
                transfer.set(at);
                return k * std::abs(transfer.between(0, {Observed::angle, 0}));
            },
            w);
        REQUIRE(found.size() == 1);
        const double z2 = zeta * zeta, wing = 2.0 * zeta * std::sqrt(1.0 - z2);
        // A top is flat: its place is known to the root of rounding.
        CHECK(found[0].frequency == near(wn * std::sqrt(1.0 - 2.0 * z2), 1e-6));
        CHECK(found[0].peak == near(1.0 / wing, 1e-9));
        const double wide = std::sqrt(1.0 - 2.0 * z2 + wing) - std::sqrt(1.0 - 2.0 * z2 - wing);
        CHECK(found[0].damping == near(0.5 * wide / std::sqrt(1.0 - 2.0 * z2), 1e-6));
        CHECK(found[0].damping == near(zeta, 3.0 * z2 + 1e-6));
    }
}

TEST_CASE("constant friction beside a spring counts as the damper that takes out the same work") {
    // c = 4·T_f/(π·ω·A) and K' = K: K = 1000 N m/rad, T_f = 15 N m, A = 0.05 rad, 25 Hz:
    // c = 2.431708 N m s/rad, loss factor 0.381972 (derived). The give of the grip, 1.5e-8 rad,
    // lowers K'' by its share of A and bends K' by (limit/(A·k))·(give/A)^½ at most.
    const Branch branch = branch_of({{{{"spring", linear_spring(1000.0, 0.0)},
                                       {"washer", slider({.limit = 15.0, .grip = 1e9})}}}});
    const FirstHarmonic h = swing(branch, 0.05);
    const double w = 2.0 * pi * 25.0;
    CHECK(h.quadrature / w == near(2.431708, 1e-6));
    CHECK(h.quadrature / 1000.0 == near(0.381972, 2e-6));
    CHECK(h.in_phase == near(1000.0, 4e-4));
    CHECK(std::abs(h.mean_torque) < 1e-9);
}

TEST_CASE("a spring in series with a slider has the first harmonic of Jenkins's element") {
    // q = acos(1 − 2·x_s/A): K' = (k/π)(q − ½ sin 2q), K'' = (k/π)·sin² q; k = 500, T_f = 10,
    // A = 0.1: 71.18925 and 101.85916 N m/rad; at 30 Hz c = 0.540380 N m s/rad (derived).
    const double k = 500.0, limit = 10.0;
    const Branch branch = one_law(slider({.limit = limit, .grip = k}));
    const FirstHarmonic h = swing(branch, 0.1);
    CHECK(h.in_phase == near(71.18925, 2e-7));
    CHECK(h.quadrature == near(101.85916, 1e-7));
    CHECK(h.quadrature / (2.0 * pi * 30.0) == near(0.540380, 1e-6));
    for (const double a : {0.0200001, 0.03, 0.2, 5.0}) {
        CAPTURE(a);
        const double q = std::acos(1.0 - 2.0 * limit / k / a);
        const FirstHarmonic one = swing(branch, a);
        CHECK(one.in_phase == near(k / pi * (q - 0.5 * std::sin(2.0 * q)), 1e-7));
        CHECK(one.quadrature == near(k / pi * std::sin(q) * std::sin(q), 1e-7));
    }
    const FirstHarmonic stuck = swing(branch, 0.0199);
    CHECK(stuck.in_phase == near(k, 1e-12));
    CHECK(std::abs(stuck.quadrature) < 1e-12 * k);
}

TEST_CASE("a play has the first harmonic of a dead zone") {
    // N(A)/k = 1 − (2/π)[asin r + r√(1 − r²)], r = half the play over A (R. J. Comparin, R. Singh,
    // J. Sound Vib. 134(2), 1989, 259–290, citation recalled; numbers derived).
    struct Row {
        double r, share;
    };
    const double gap = 0.01, k = 2e5;
    for (const Row& row : {Row{0.1, 0.872889}, Row{0.25, 0.685038}, Row{0.5, 0.391002},
                           Row{0.75, 0.144294}, Row{0.9, 0.0373861}}) {
        CAPTURE(row.r);
        const FirstHarmonic h =
            swing(one_law(lash({.gap = gap, .stiffness = k})), 0.5 * gap / row.r);
        CHECK(h.in_phase / k == near(row.share, 5e-6));
        const double root = std::sqrt(1.0 - row.r * row.r);
        CHECK(h.in_phase / k == near(1.0 - 2.0 / pi * (std::asin(row.r) + row.r * root), 1e-10));
        CHECK(std::abs(h.quadrature) < 1e-12 * k);
    }
}

TEST_CASE("a spring of two slopes is the mean of both, and shifts its mean until it balances") {
    // About its corner: K' = (k₁ + k₂)/2 and a mean torque of (k₂ − k₁)·A/π (derived: a half sine
    // has the mean 1/π). Balanced, the mean twist m = −A·s solves
    // k₁(√(1 − s²) − s·acos s)... = the same from the other side; told by substitution below.
    const double k1 = 300.0, k2 = 1200.0, a = 0.05;
    const Branch branch = one_law(piecewise_spring({{"coast", k1}, {"drive", k2}}, {0.0}));
    const FirstHarmonic corner = swing(branch, a);
    CHECK(corner.in_phase == near(0.5 * (k1 + k2), 1e-12));
    CHECK(corner.mean_torque == near((k2 - k1) * a / pi, 1e-12));
    SwingingElement element(branch, 0.0);
    const FirstHarmonic level = element.at(a);
    CHECK(std::abs(level.mean_torque) < 1e-10);
    CHECK(level.mean_twist < 0.0);
    // Mean of k·x over a cycle about m: k₁·m + (k₂ − k₁)·A/π·(√(1 − s²) − s·acos s), s = −m/A.
    const double s = -level.mean_twist / a;
    CHECK(k1 * level.mean_twist +
              (k2 - k1) * a / pi * (std::sqrt(1.0 - s * s) - s * std::acos(s)) ==
          doctest::Approx(0.0).epsilon(1e-9));
    // First harmonic: k₁ + (k₂ − k₁)·(acos s − s√(1 − s²))/π.
    CHECK(level.in_phase ==
          near(k1 + (k2 - k1) * (std::acos(s) - s * std::sqrt(1.0 - s * s)) / pi, 1e-9));
}

TEST_CASE("many sliders with evenly spread limits act as Iwan's uniform distribution") {
    // W. D. Iwan, J. Appl. Mech. 33(4), 1966, 893–900 (recalled), slip twists 0…x_m, A ≤ x_m:
    // dE = (2/3)·k·A³/x_m; with Masing's branches k·(A ∓ x)(1 − (A ∓ x)/(4·x_m)) the mean of both
    // is k·x·(1 − A/(2·x_m)), a straight line (derived), so K' = k·(1 − A/(2·x_m)).
    // n sliders at the middles of their strips: error of the quadrature 1/(n²).
    const double k = 500.0, x_m = 0.05, a = 0.03;
    const int n = 400;
    Cell cell;
    for (int i = 0; i < n; ++i) {
        const double grip = k / n, slip = x_m * (i + 0.5) / n;
        cell.parts.push_back(
            {fmt::format("slider {}", i), slider({.limit = grip * slip, .grip = grip})});
    }
    const FirstHarmonic h = swing(branch_of({cell}), a);
    CHECK(h.in_phase == near(k * (1.0 - 0.5 * a / x_m), 2e-5));
    CHECK(h.quadrature * pi * a * a == near(0.18, 2e-5));  // (2/3)·k·A³/x_m
}

TEST_CASE("a disc of two stages has the first harmonic of its corner and of both its washers") {
    // Skeleton k₁ up to a₁, k₂ beyond: K' = k₂ + (k₁ − k₂)(2/π)(asin r + r√(1 − r²)), r = a₁/A
    // (dead zone turned round; derived). Loop of ±12° with full widths 2 and 16 N m: 3.769911 J
    // without flanks (derived). Flanks and the give of stop and grip are narrow here, not nothing.
    Disc disc;
    const auto stage = [](const char* name, double k, double end, double width) {
        DiscStage s;
        s.name = name;
        s.stiffness = Stiffness::from_si(k);
        s.drive_end = s.coast_end = Angle::from_si(end);
        s.hysteresis = Torque::from_si(width);
        s.friction_factor = Ratio::from_si(1.0);
        return s;
    };
    const double k1 = 30.0, k2 = 950.0, a1 = 6.0 * degree, a = 12.0 * degree;
    disc.stages = {stage("idle", k1, a1, 2.0), stage("main", k2, 15.0 * degree, 16.0)};
    disc.stop_stiffness = Stiffness::from_si(1e8);
    disc.friction_grip = Ratio::from_si(1e4);
    const FirstHarmonic h = swing(branch_of(disc_cells(disc)), a);
    const double r = a1 / a;
    const double skeleton = k2 + (k1 - k2) * 2.0 / pi * (std::asin(r) + r * std::sqrt(1.0 - r * r));
    // Friction adds to K' through its flanks: ±8 N m switched at ±6° and at the ends. Those at the
    // ends cancel, those at the corner: the washer of the main stage acts from 6° on upward and
    // from 12° down to 6° alike, so that the mean of both branches is the skeleton. 1 % is left
    // for the way the flank from −8 to +8 N m takes through the torque at the corner.
    CHECK(h.in_phase == near(skeleton, 1e-2));
    CHECK(h.quadrature * pi * a * a == near(3.769911, 5e-2));
    CHECK(std::abs(h.mean_torque) < 1e-6);
}

TEST_CASE(
    "an idle stage with dry friction isolates as its equivalent damper says, near the exact") {
    // Exact (J. P. Den Hartog, Trans. ASME 53, 1931, APM-53-9, citation and formula recalled,
    // checked by simulation): J₂ = 0.006, k = 30, T_f = 0.5 N m, order 2 at 850 rpm, 400 rad/s² at
    // the flywheel: twist 0.0142077 rad. Equivalent linearisation has the closed form
    // A = √((J₂α)² − (4T_f/π)²)/|k − J₂ω²| = 0.0144487 rad (derived): 1.7 % more than the exact,
    // which is what the harmonics above the first are worth here. The grip's give x_s = 1.7 nrad
    // adds (16/3π)·grip·(x_s/A)^1.5 = 0.02 N m/rad to K', 1.3e-4 of what stands below the line.
    const double j = 0.006, k = 30.0, limit = 0.5, alpha = 400.0, w = 2.0 * pi * 850.0 / 30.0;
    const double flywheel = 1e6;  // so heavy that the hub does not move it
    Driveline line = pair_of(flywheel, j, k, 0.0);
    line.branches[0].chain[0].parts.push_back({"washer", slider({.limit = limit, .grip = 3e8})});
    EquivalentLine equivalent(at_rest(line), line.branches[0], 0, 0.0);
    Eigen::VectorXcd torque = Eigen::VectorXcd::Zero(2);
    torque(0) = flywheel * alpha;
    const auto swings = equivalent.swings(w, torque);
    REQUIRE(swings.size() == 1);
    const double forced = j * alpha, friction = 4.0 * limit / pi;
    const double closed =
        std::sqrt(forced * forced - friction * friction) / std::abs(k - j * w * w);
    CHECK(swings[0].amplitude == near(closed, 2e-4));
    CHECK(swings[0].mismatch < 1e-9);
    CHECK(swings[0].amplitude / 0.0142077 - 1.0 == near(0.017, 3e-2));
    // Below α = T_f/J₂ = 83.3 rad/s² nothing slips and the hub goes with the flywheel.
    torque(0) = flywheel * 80.0;
    const auto stuck = equivalent.swings(w, torque);
    REQUIRE(stuck.size() == 1);
    Transfer transfer(equivalent.with(stuck[0]));
    transfer.set(w);
    CHECK(std::abs(transfer.between(0, {Observed::speed, 1}) /
                   transfer.between(0, {Observed::speed, 0})) == near(1.0, 1e-6));
}

TEST_CASE("a spring that stiffens answers with three swings between its two jumps") {
    // Undamped, J on a play b with stiffness k to the ground: below the frequency of the full
    // spring the balance (K'(A) − J·ω²)·A = ±T has one root in phase and up to two against; each is
    // checked by substitution in the closed K' of a dead zone. Torque so small that rest inside
    // the play is one of them: A = T/(J·ω²) < b.
    const double j = 0.01, k = 1000.0, gap = 0.02, w = 0.6 * std::sqrt(k / j), torque = 2.0;
    const Driveline line = LineBuilder()
                               .mass("gear", j)
                               .element("play", {{0, 1.0}}, lash({.gap = gap, .stiffness = k}))
                               .done();
    EquivalentLine equivalent(at_rest(line), line.branches[0], 0, 0.0);
    const auto swings = equivalent.swings(w, Eigen::VectorXcd::Constant(1, Complex(torque)));
    REQUIRE(swings.size() == 3);
    CHECK(swings[0].amplitude == near(torque / (j * w * w), 1e-9));
    CHECK(swings[0].amplitude < 0.5 * gap);
    CHECK_FALSE(swings[0].passing);
    CHECK(swings[1].passing);
    CHECK_FALSE(swings[2].passing);
    for (std::size_t i = 1; i < 3; ++i) {
        const double r = 0.5 * gap / swings[i].amplitude;
        const double n = 1.0 - 2.0 / pi * (std::asin(r) + r * std::sqrt(1.0 - r * r));
        const double sense = i == 1 ? -1.0 : 1.0;
        CHECK((k * n - j * w * w) * swings[i].amplitude == near(sense * torque, 1e-8));
    }
}
