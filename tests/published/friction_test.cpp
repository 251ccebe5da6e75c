// SPDX-License-Identifier: MIT
// Loops of friction elements and of a two-stage disc against closed forms.
#include "libdamper/assemble/disc.hpp"
#include "libdamper/driveline/quasi_static.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"

#include "tests/support/near.hpp"
#include "tests/support/small_lines.hpp"

#include <cmath>
#include <complex>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double degree = pi / 180.0;

Branch branch_of(std::vector<Cell> chain) {
    return {.name = "bench",
            .kind = "test",
            .row = {{0, 1.0}},
            .damping = 0.0,
            .chain = std::move(chain)};
}

/// Work of one settled cycle between −a and a [J].
double settled_loop(QuasiStatic& motion, double a) {
    motion.move_to(a);
    motion.move_to(-a);
    motion.move_to(a);
    const double before = motion.work();
    motion.move_to(-a);
    motion.move_to(a);
    return motion.work() - before;
}

/// First harmonic K' + i·K'' of the torque under the twist a·sin φ [N m/rad].
std::complex<double> complex_stiffness(QuasiStatic& motion, double a) {
    constexpr int points = 40000;
    for (int i = 0; i <= points; ++i) motion.move_to(a * std::sin(2.0 * pi * i / points));
    double in_phase = 0.0, quadrature = 0.0;
    for (int i = 0; i < points; ++i) {
        const double phi = 2.0 * pi * (i + 1) / points;
        const double torque = motion.move_to(a * std::sin(phi));
        in_phase += torque * std::sin(phi);
        quadrature += torque * std::cos(phi);
    }
    return {2.0 * in_phase / (points * a), 2.0 * quadrature / (points * a)};
}

DiscStage stage(const char* name, double stiffness, double end, double hysteresis) {
    DiscStage s;
    s.name = name;
    s.stiffness = Stiffness::from_si(stiffness);
    s.drive_end = s.coast_end = Angle::from_si(end);
    s.hysteresis = Torque::from_si(hysteresis);
    s.friction_factor = Ratio::from_si(1.0);
    return s;
}

}  // namespace

TEST_CASE("backlash has the describing function of a dead zone") {
    // N(A)/k = 1 − (2/π)(asin r + r√(1 − r²)), r = half gap/A; background: R. J. Comparin,
    // R. Singh, J. Sound Vib. 134(2), 1989, 259-290 (citation recalled; numbers derived).
    struct Row {
        double r, share;
    };
    for (const Row& row : {Row{0.1, 0.872889}, Row{0.25, 0.685038}, Row{0.5, 0.391002},
                           Row{0.75, 0.144294}, Row{0.9, 0.0373861}}) {
        CAPTURE(row.r);
        const double k = 3e5, a = 4e-3;
        QuasiStatic motion(
            branch_of({{{{"tooth", lash({.gap = 2.0 * row.r * a, .stiffness = k})}}}}));
        const std::complex<double> found = complex_stiffness(motion, a) / k;
        CHECK(std::abs(found.real() - row.share) < 1e-6);
        CHECK(std::abs(found.imag()) < 1e-6);
    }
}

TEST_CASE("constant friction beside a spring takes 2·H·Φ per cycle, H the width of the loop") {
    // Closed form: K = 1000 N m/rad, limit 15 N m (H = 30 N m), Φ = 0.05 rad, 25 Hz: 3.0 J,
    // equivalent damping 2.431708 N m s/rad, loss factor 0.381972 (derived).
    const double a = 0.05, w = 2.0 * pi * 25.0;
    QuasiStatic motion(branch_of({{{{"spring", linear_spring(1000.0, 0.0)},
                                    {"washer", slider({.limit = 15.0, .grip = 1e10})}}}}));
    const double lost = settled_loop(motion, a);
    CHECK(lost == near(2.0 * 30.0 * a, 1e-6));
    CHECK(lost == near(3.0, 1e-6));
    CHECK(lost / (pi * w * a * a) == near(2.431708, 1e-6));
    CHECK(lost / (pi * 1000.0 * a * a) == near(0.381972, 2e-6));
    // The loop's width as a drawing gives it.
    const double lower = motion.move_to(0.0);
    motion.move_to(-a);
    CHECK(motion.move_to(0.0) - lower == near(30.0, 1e-9));
}

TEST_CASE("a Jenkins element has its closed-form loop and complex stiffness") {
    // Closed form, k_d = 500 N m/rad, T_f = 10 N m, A = 0.1 rad: ΔW = 4·T_f·(A − T_f/k_d) = 3.2 J,
    // K' = 71.18925, K'' = 101.85916 N m/rad, c at 30 Hz = 0.540380 N m s/rad (derived).
    QuasiStatic motion(branch_of({{{{"element", slider({.limit = 10.0, .grip = 500.0})}}}}));
    CHECK(settled_loop(motion, 0.1) == near(3.2, 1e-12));
    const std::complex<double> k = complex_stiffness(motion, 0.1);
    CHECK(k.real() == near(71.18925, 1e-6));
    CHECK(k.imag() == near(101.85916, 1e-6));
    CHECK(k.imag() / (2.0 * pi * 30.0) == near(0.540380, 2e-6));
}

TEST_CASE("many sliders with evenly spread limits make Iwan's uniform distribution") {
    // W. D. Iwan, J. Appl. Mech. 33(4), 1966, 893-900 (citation recalled; forms derived): total
    // stiffness 500 N m/rad, slip twists evenly over 0…0.05 rad, A = 0.03 rad: backbone
    // k·x(1 − x/(2·x_m)) = 10.5 N m, loop (2/3)·k·A³/x_m = 0.18 J.
    constexpr int count = 400;
    Cell cell;
    for (int i = 0; i < count; ++i) {
        const double slips_at = 0.05 * (i + 0.5) / count;
        const double grip = 500.0 / count;
        cell.parts.push_back(
            {"element " + std::to_string(i), slider({.limit = grip * slips_at, .grip = grip})});
    }
    QuasiStatic motion(branch_of({cell}));
    CHECK(motion.move_to(0.03) == near(10.5, 1e-4));
    CHECK(settled_loop(motion, 0.03) == near(0.18, 1e-4));
    // Masing: the unloading branch is the backbone at twice the scale.
    const double top = motion.torque();
    const double half_way = motion.move_to(0.0);
    CHECK(half_way == near(top - 2.0 * 500.0 * 0.015 * (1.0 - 0.015 / 0.1), 1e-4));
}

TEST_CASE("a two-stage disc has the static torque and the loop of its drawing") {
    // Closed form: k1 = 30, k2 = 950 N m/rad, corner 6 deg: T(6) = 3.141593, T(12) = 102.6254 N m.
    // Loop with full widths 2 and 16 N m, flanks neglected: 0…12 deg 1.884956 J,
    // ±12 deg 3.769911 J (derived).
    Disc disc;
    disc.stages = {stage("idle", 30.0, 6.0 * degree, 0.0),
                   stage("main", 950.0, 15.0 * degree, 0.0)};
    disc.stop_stiffness = Stiffness::from_si(4e4);
    disc.friction_grip = Ratio::from_si(40.0);
    QuasiStatic skeleton(branch_of(disc_cells(disc)));
    CHECK(skeleton.move_to(6.0 * degree) == near(3.141593, 2e-7));
    CHECK(skeleton.move_to(12.0 * degree) == near(102.6254, 1e-6));
    CHECK(skeleton.move_to(-12.0 * degree) == near(-102.6254, 1e-6));

    disc.stages = {stage("idle", 30.0, 6.0 * degree, 2.0),
                   stage("main", 950.0, 15.0 * degree, 16.0)};
    const auto one_sided = [&](QuasiStatic& motion) {
        motion.move_to(0.0);
        motion.move_to(12.0 * degree);
        const double before = motion.work();
        motion.move_to(0.0);
        motion.move_to(12.0 * degree);
        return motion.work() - before;
    };
    // A real disc's soft flanks take a few per cent off.
    QuasiStatic soft(branch_of(disc_cells(disc)));
    CHECK(settled_loop(soft, 12.0 * degree) == near(3.769911, 0.05));
    CHECK(one_sided(soft) == near(1.884956, 0.05));

    disc.stop_stiffness = Stiffness::from_si(1e8);
    disc.friction_grip = Ratio::from_si(1e6);
    QuasiStatic hard(branch_of(disc_cells(disc)));
    CHECK(settled_loop(hard, 12.0 * degree) == near(3.769911, 2e-5));
    // Let back to zero, the main stage's washer (8 N m) is stronger than the torque at the corner
    // (3.14 N m): it keeps the main springs a little twisted, x0 at zero twist and d at the corner.
    // Torques of the four straight branches, integrated by hand:
    const double k1 = 30.0, k2 = 950.0, a = 6.0 * degree, t1 = k1 * a, h1 = 1.0, h2 = 8.0;
    const double d = (h2 - h1) / k2;
    const double x0 = (h2 - h1 - t1) / (k1 + k2);
    const double up =
        (0.5 * (t1 - k1 * x0) + h1) * (a + x0) + (t1 + h2 + 0.5 * k2 * (x0 + d)) * (d - x0);
    const double down = 0.5 * (t1 - h1 - k1 * x0 - h1) * (a + d);
    CHECK(one_sided(hard) == near(up - down + 16.0 * (a - d), 2e-5));
}
