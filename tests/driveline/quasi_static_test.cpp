// SPDX-License-Identifier: MIT
#include "libdamper/driveline/quasi_static.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"

#include "tests/support/near.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <random>

using namespace damper;
using damper::test::near;

namespace {

Branch bench(std::vector<Cell> chain) {
    return {.name = "bench",
            .kind = "test",
            .row = {{0, 1.0}},
            .damping = 0.0,
            .chain = std::move(chain)};
}

std::vector<Cell> three_cells() {
    return {{{{"idle", piecewise_spring({{"coast stop", 9e3}, {"idle", 30.0}, {"drive stop", 9e3}},
                                        {-0.08, 0.1})},
              {"idle washer", slider({.limit = 0.5, .grip = 1e3, .play = 0.01})}}},
            {{{"main", piecewise_spring({{"coast", 700.0}, {"seat", 9e3}, {"drive", 900.0}},
                                        {-2.4 / 9e3, 3.0 / 9e3})},
              {"main washer", slider({.limit = 6.0, .grip = 3e4})}}},
            {{{"spline", lash({.gap = 0.01, .stiffness = 2e4})}}}};
}

}  // namespace

TEST_CASE("in any closed loop the work is the loss of friction, never a gain") {
    std::mt19937 random(17);
    std::uniform_real_distribution<double> any(-0.2, 0.2);
    QuasiStatic motion(bench(three_cells()));
    for (int i = 0; i < 200; ++i) {
        const double home = any(random);
        motion.move_to(0.25);
        motion.move_to(home);
        const double work = motion.work();
        const double stored = motion.stored();
        motion.move_to(0.3);
        motion.move_to(-0.3);
        motion.move_to(0.25);
        motion.move_to(home);
        // The same path behind it, hence the same state: all the work has become heat.
        CHECK(motion.stored() == near(stored, 1e-9));
        CHECK(motion.work() - work > 0.0);
    }
}

TEST_CASE("work less what is stored is heat, and heat never falls") {
    std::mt19937 random(23);
    std::uniform_real_distribution<double> any(-0.25, 0.25);
    QuasiStatic motion(bench(three_cells()));
    double heat = 0.0;
    for (int i = 0; i < 2000; ++i) {
        motion.move_to(any(random));
        const double now = motion.work() - motion.stored();
        CHECK(now >= heat - 1e-10 * (1.0 + now));
        heat = now;
    }
    CHECK(heat > 10.0);
}

TEST_CASE("a loop does not depend on how finely it is stepped through") {
    QuasiStatic coarse(bench(three_cells()));
    QuasiStatic fine(bench(three_cells()));
    for (const double target : {0.2, -0.18, 0.05, -0.02, 0.21}) {
        coarse.move_to(target);
        const double from = fine.twist();
        for (int i = 1; i <= 777; ++i) fine.move_to(from + (target - from) * i / 777.0);
        fine.move_to(target);
        CHECK(std::abs(fine.torque() - coarse.torque()) < 1e-9);
    }
    CHECK(fine.work() == near(coarse.work(), 1e-10));
}

TEST_CASE("friction returns to the outer loop after any inner loop") {
    // A property of sliders with springs (return-point memory).
    QuasiStatic outer(bench(three_cells()));
    QuasiStatic inner(bench(three_cells()));
    for (QuasiStatic* motion : {&outer, &inner}) {
        motion->move_to(0.2);
        motion->move_to(-0.2);
    }
    inner.move_to(0.1);
    inner.move_to(-0.05);
    inner.move_to(0.02);
    inner.move_to(-0.05);
    for (const double twist : {0.11, 0.15, 0.2}) {
        CHECK(inner.move_to(twist) == near(outer.move_to(twist), 1e-9));
    }
}

TEST_CASE("a law that switches for ever is named instead of looped over") {
    Law broken;
    broken.kind = "spring";
    for (int i = 0; i < 2; ++i) {
        Mode mode{.label = "a", .spring = 1.0};
        mode.guards = {{.value = {.offset = -1.0, .twist = -1.0}, .next = 1 - i}};
        broken.modes.push_back(mode);
    }
    QuasiStatic motion(bench({{{{"broken", broken}}}}));
    CHECK_THROWS_AS(motion.move_to(0.1), SolverError);
}
