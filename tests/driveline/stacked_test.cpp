// SPDX-License-Identifier: MIT
#include "libdamper/driveline/stacked.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/driveline/quasi_static.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"

#include "tests/support/near.hpp"
#include "tests/support/small_lines.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <limits>

using namespace damper;
using namespace damper::test;

namespace {

Cell cell(std::string name, Law law) {
    return {{{std::move(name), std::move(law)}}};
}

Branch bench(std::vector<Cell> chain) {
    return {.name = "bench",
            .kind = "test",
            .row = {{0, 1.0}},
            .damping = 0.0,
            .chain = std::move(chain)};
}

Law soft_then_hard() {
    return piecewise_spring({{"coast stop", 4e4}, {"idle", 30.0}, {"drive stop", 4e4}},
                            {-0.1, 0.1});
}

Law seated(double seat, double stiffness) {
    return piecewise_spring({{"coast", stiffness}, {"seat", 4e4}, {"drive", stiffness}},
                            {-seat, seat});
}

}  // namespace

TEST_CASE("springs in series share the torque: the hand formula") {
    // T = (δ + Σ b_c/k_c)/Σ 1/k_c; for plain springs the series stiffness.
    const Driveline line =
        LineBuilder()
            .mass("hub", 1.0)
            .chain("chain", {{0, 1.0}},
                   {cell("a", linear_spring(30.0, 0.0)), cell("b", linear_spring(60.0, 0.0)),
                    cell("c", linear_spring(20.0, 0.0))})
            .done();
    Stacked stacked(line);
    stacked.set(start_state(line));
    const double k = 1.0 / (1.0 / 30.0 + 1.0 / 60.0 + 1.0 / 20.0);
    CHECK(stacked.branches()[0].spring == near(k, 1e-14));
    CHECK(stacked.torque(0, 0.3, 9.0) == near(k * 0.3, 1e-14));
    double sum = 0.0;
    for (std::size_t c = 0; c < 3; ++c) sum += stacked.cell_twist(c, 0.3);
    CHECK(sum == near(0.3, 1e-14));
    CHECK(stacked.cell_twist(0, 0.3) == near(k * 0.3 / 30.0, 1e-14));
    CHECK(stacked.cell_rate(1, 2.0) == near(k * 2.0 / 60.0, 1e-14));
    CHECK(stacked.stored(0, start_state(line), 0.3) == near(0.5 * k * 0.09, 1e-14));
}

TEST_CASE("a slipping slider and a preloaded piece in series obey the hand formula") {
    // a: 30·δ_a + 2 (slipping up), b: 60·(δ_b − 0.01): T = (δ + 2/30 − 0.6/60)/(1/30 + 1/60).
    const Driveline line =
        LineBuilder()
            .mass("hub", 1.0)
            .chain("chain", {{0, 1.0}},
                   {{{{"a", linear_spring(30.0, 0.0)}, {"w", slider({.limit = 2.0, .grip = 1e3})}}},
                    cell("b", lash({.gap = 0.02, .stiffness = 60.0}))})
            .done();
    Stacked stacked(line);
    State state = start_state(line);
    state.mode = {0, 1, 1};
    stacked.set(state);
    const double delta = 0.4;
    CHECK(stacked.torque(0, delta, 1.0) ==
          near((delta + 2.0 / 30.0 - 0.01) / (1.0 / 30.0 + 1.0 / 60.0), 1e-13));
    // Heat: the washer's torque times the share of the rate that its cell sees.
    CHECK(stacked.heating(0, state, 1.0) == near(2.0 * (20.0 / 30.0), 1e-13));
    // With b in its play it takes the twist, and a gets torque 0.
    state.mode = {0, 1, 0};
    stacked.set(state);
    CHECK(stacked.torque(0, delta, 1.0) == 0.0);
    CHECK(stacked.cell_twist(0, delta) == near(-2.0 / 30.0, 1e-13));
    CHECK(stacked.cell_rate(1, 3.0) == near(3.0, 1e-13));
}

TEST_CASE("a chain twists as two elements with next to no inertia between them") {
    // The same two cells once as a chain, once with 1e-8 kg m² between them and a little damping
    // on it, driven slowly up and down through corners and reversals.
    const auto drive = SineTorque{.amplitude = 60.0, .frequency = 3.0};
    Cell first{{{"idle", soft_then_hard()}, {"idle washer", slider({.limit = 0.5, .grip = 1e3})}}};
    Cell second{
        {{"main", seated(3.0 / 4e4, 900.0)}, {"washer", slider({.limit = 6.0, .grip = 3e4})}}};
    const Driveline chain = LineBuilder()
                                .mass("hub", 0.05)
                                .chain("disc", {{0, 1.0}}, {first, second})
                                .element("air", {{0, 1.0}}, linear_spring(0.0, 1.0))
                                .input(0, drive)
                                .done();
    const Driveline split = LineBuilder()
                                .mass("hub", 0.05)
                                .mass("between", 1e-6)
                                .chain("first", {{0, 1.0}, {1, -1.0}}, {first})
                                .chain("second", {{1, 1.0}}, {second})
                                .element("rubbing", {{0, 1.0}, {1, -1.0}}, linear_spring(0.0, 2e-3))
                                .element("air", {{0, 1.0}}, linear_spring(0.0, 1.0))
                                .input(0, drive)
                                .done();
    AngleTrace a, b;
    const TimeSettings settings{.end = 3.0, .sample_step = 1e-3, .tolerance = 1e-8};
    REQUIRE(solve_general(chain, start_state(chain), settings, &a).report.complete);
    REQUIRE(solve_general(split, start_state(split), settings, &b).report.complete);
    double worst = 0.0, size = 0.0;
    for (std::size_t i = 0; i < a.angle.size(); ++i) {
        worst = std::max(worst, std::abs(a.angle[i] - b.angle[i]));
        size = std::max(size, std::abs(a.angle[i]));
    }
    CHECK(size > 0.12);
    CHECK(worst < 2e-3 * size);
}

TEST_CASE("the order of cells in a chain does not matter") {
    const Cell first{{{"idle", soft_then_hard()}, {"w1", slider({.limit = 0.5, .grip = 1e3})}}};
    const Cell second{
        {{"main", seated(3.0 / 4e4, 900.0)}, {"w2", slider({.limit = 6.0, .grip = 3e4})}}};
    const Cell play = cell("spline", lash({.gap = 0.02, .stiffness = 8e4}));
    QuasiStatic one(bench({first, second, play}));
    QuasiStatic two(bench({play, second, first}));
    for (const double twist : {0.2, -0.05, 0.01, -0.22, 0.0, 0.15, -0.01}) {
        CHECK(std::abs(one.move_to(twist) - two.move_to(twist)) < 1e-10);
    }
    CHECK(one.work() == near(two.work(), 1e-10));
}

TEST_CASE("what cannot be a driveline is refused with the name of what stands in the way") {
    const auto refused = [](const Driveline& line, const std::string& word) {
        try {
            Stacked stacked(line);
            stacked.set(start_state(line));
        } catch (const ModelError& error) {
            return std::string(error.what()).find(word) != std::string::npos;
        }
        return false;
    };
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const Law spring = linear_spring(1.0, 0.0);
    for (const double bad : {0.0, -1.0, nan, std::numeric_limits<double>::infinity()}) {
        CHECK(refused(LineBuilder().mass("wheel", bad).done(), "wheel"));
    }
    CHECK(refused(LineBuilder().mass("wheel", 1.0, nan).done(), "wheel"));
    const LineBuilder base = LineBuilder().mass("hub", 1.0);
    CHECK(refused(LineBuilder(base).element("shaft", {{1, 1.0}}, spring).done(), "shaft"));
    CHECK(refused(LineBuilder(base).element("shaft", {{-1, 1.0}}, spring).done(), "shaft"));
    CHECK(refused(LineBuilder(base).element("shaft", {{0, nan}}, spring).done(), "shaft"));
    CHECK(refused(LineBuilder(base).element("shaft", {}, spring).done(), "shaft"));
    CHECK(refused(LineBuilder(base).chain("disc", {{0, 1.0}}, {}).done(), "disc"));
    CHECK(refused(LineBuilder(base).chain("disc", {{0, 1.0}}, {Cell{}}).done(), "disc"));
    CHECK(refused(
        LineBuilder(base)
            .chain("disc", {{0, 1.0}}, {cell("a", spring), cell("rubber", linear_spring(1.0, 0.1))})
            .done(),
        "rubber"));
    const Law play = lash({.gap = 0.1, .stiffness = 1.0});
    CHECK(refused(
        LineBuilder(base).chain("disc", {{0, 1.0}}, {cell("a", play), cell("b", play)}).done(),
        "disc"));
    CHECK(refused(LineBuilder(base).input(3, ConstantTorque{1.0}).done(), "torque"));
    Driveline damped = LineBuilder(base).element("shaft", {{0, 1.0}}, spring).done();
    damped.branches[0].damping = -1.0;
    CHECK(refused(damped, "shaft"));
    Driveline tyre = LineBuilder(base).done();
    tyre.smooth.push_back({.name = "tyre", .row = {{0, 1.0}}, .reference = 4, .law = RoadLoad{}});
    CHECK(refused(tyre, "tyre"));
    CHECK_THROWS_AS((void)damped.mass("gone"), ModelError);
    CHECK_THROWS_AS((void)damped.branch("gone"), ModelError);
    CHECK(damped.mass("hub") == 0);
    CHECK(damped.branch("shaft") == 0);
}
