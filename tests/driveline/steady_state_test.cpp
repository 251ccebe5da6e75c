// SPDX-License-Identifier: MIT
#include "libdamper/driveline/steady_state.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"

#include "tests/support/near.hpp"
#include "tests/support/small_lines.hpp"

#include <cmath>
#include <doctest/doctest.h>

using namespace damper;
using namespace damper::test;

namespace {

/// Accelerations of all inertias at the first instant of a run.
class FirstInstant final : public Sink {
  public:
    void sample(const Instant& instant) override {
        if (acceleration.empty()) {
            acceleration.assign(instant.acceleration.begin(), instant.acceleration.end());
        }
    }
    std::vector<double> acceleration;
};

std::vector<double> accelerations(const Driveline& line, const State& state) {
    FirstInstant first;
    (void)solve_general(line, state, {.end = 1e-6, .sample_step = 1.0}, &first);
    return first.acceleration;
}

/// Engine, disc, gearbox with play, wheels with slip and a vehicle, as small as it goes.
Driveline pulling_car(double torque, bool smooth_tyre) {
    const double ratio = 6.0;
    const double wheel = 200.0 / ratio;
    Cell disc{{{"spring", piecewise_spring({{"coast", 800.0}, {"idle", 30.0}, {"drive", 900.0}},
                                           {-0.05, 0.08})},
               {"washer", slider({.limit = 5.0, .grip = 4e4})}}};
    Driveline line = LineBuilder()
                         .mass("engine", 0.17, 200.0)
                         .mass("input", 0.006, 200.0)
                         .mass("output", 0.9, wheel)
                         .mass("belt", 1.5, wheel)
                         .mass("vehicle", 140.0, wheel)
                         .chain("disc", {{0, 1.0}, {1, -1.0}}, {disc})
                         .element("gear", {{1, 1.0 / ratio}, {2, -1.0}},
                                  lash({.gap = 0.004, .stiffness = 4e5, .damping = 30.0}))
                         .element("input drag", {{1, 1.0}},
                                  slider({.limit = 0.4, .grip = 400.0, .viscous = 0.002}))
                         .element("shaft", {{2, 1.0}, {3, -1.0}}, linear_spring(5000.0, 20.0))
                         .input(0, ConstantTorque{torque})
                         .done();
    if (smooth_tyre) {
        line.smooth.push_back(
            {.name = "tyre",
             .row = {{3, 1.0}, {4, -1.0}},
             .reference = 4,
             .law = TyreSlip{.slip_stiffness = 6e4, .grip = 4e3, .radius = 0.32}});
    } else {
        line.branches.push_back({.name = "tyre",
                                 .kind = "tyre slip",
                                 .row = {{3, 1.0}, {4, -1.0}},
                                 .damping = 0.0,
                                 .chain = {{{{"tyre", linear_spring(0.0, 600.0)}}}}});
    }
    line.smooth.push_back({.name = "road load",
                           .row = {{4, 1.0}},
                           .reference = 4,
                           .law = RoadLoad{.rolling = 60.0, .grade = 0.0, .air = 0.02}});
    return line;
}

}  // namespace

TEST_CASE("in a steady state every inertia accelerates as the driveline as a whole does") {
    for (const bool smooth_tyre : {true, false}) {
        for (const double torque : {60.0, 12.0, -20.0}) {
            CAPTURE(smooth_tyre);
            CAPTURE(torque);
            const Driveline line = pulling_car(torque, smooth_tyre);
            const SteadyState steady = steady_state(line);
            const std::vector<double> found = accelerations(line, steady.state);
            const double ratio = 6.0;
            for (std::size_t i = 0; i < line.masses.size(); ++i) {
                CAPTURE(line.masses[i].name);
                const double own = i < 2 ? ratio : 1.0;
                CHECK(std::abs(found[i] / own - steady.acceleration[i] / own) <
                      1e-6 * (1.0 + std::abs(steady.acceleration[4])));
                CHECK(steady.acceleration[i] == near(own * steady.acceleration[4], 1e-10));
            }
        }
    }
}

TEST_CASE("the torques of a steady state balance on every inertia") {
    const Driveline line = pulling_car(60.0, true);
    const SteadyState steady = steady_state(line);
    const double drag = 0.4 + 0.002 * (200.0 + steady.state.speed[1]);
    CHECK(steady.torque[2] == near(drag, 1e-12));
    CHECK(60.0 - steady.torque[0] == near(0.17 * steady.acceleration[0], 1e-9));
    CHECK(steady.torque[0] - steady.torque[2] - steady.torque[1] / 6.0 ==
          near(0.006 * steady.acceleration[1], 1e-7));
    CHECK(steady.torque[1] - steady.torque[3] == near(0.9 * steady.acceleration[2], 1e-7));
    CHECK(steady.torque[3] - steady.smooth_torque[0] == near(1.5 * steady.acceleration[3], 1e-7));
    CHECK(steady.smooth_torque[0] - steady.smooth_torque[1] ==
          near(140.0 * steady.acceleration[4], 1e-7));
}

TEST_CASE("a steady state presses the lash on the side of the torque, the disc in its stage") {
    const SteadyState pull = steady_state(pulling_car(60.0, true));
    const SteadyState coast = steady_state(pulling_car(-40.0, true));
    // Parts: disc spring, washer, gear, …
    CHECK(pull.state.mode[0] == 2);
    CHECK(coast.state.mode[0] == 0);
    CHECK(pull.state.mode[2] == 1);
    CHECK(coast.state.mode[2] == 3);
    const double twist = pull.state.angle[1] / 6.0 - pull.state.angle[2];
    CHECK(twist == near(0.002 + pull.torque[1] / 4e5, 1e-9));
    // The washer starts relaxed: the spring carries it all.
    const double disc = pull.state.angle[0] - pull.state.angle[1];
    CHECK(30.0 * 0.08 + 900.0 * (disc - 0.08) == near(pull.torque[0], 1e-9));
}

TEST_CASE("a driving wheel runs ahead of the road by the slip that carries its torque") {
    const Driveline line = pulling_car(60.0, true);
    const SteadyState steady = steady_state(line);
    const double wheel = 200.0 / 6.0;
    const double slip = steady.state.speed[3] - steady.state.speed[4];
    CHECK(slip > 0.0);
    CHECK(torque(line.smooth[0].law, slip, wheel + steady.state.speed[4]) ==
          near(steady.smooth_torque[0], 1e-9));
    // Beyond what the tyre can hold there is no steady state.
    CHECK_THROWS_AS((void)steady_state(pulling_car(2000.0, true)), ModelError);
}

TEST_CASE("settling a chain gives the twist that carries the torque") {
    const Branch branch{
        .name = "disc",
        .kind = "disc",
        .row = {{0, 1.0}},
        .damping = 0.0,
        .chain = {Cell{{{"idle", piecewise_spring(
                                     {{"coast stop", 4e4}, {"idle", 30.0}, {"drive stop", 4e4}},
                                     {-0.1, 0.1})},
                        {"washer", slider({.limit = 0.5, .grip = 1e3})}}},
                  Cell{{{"main", linear_spring(900.0, 0.0)}}}}};
    State state;
    state.mode = {0, 0, 0};
    state.memory = {0.0, 0.0, 0.0};
    CHECK(settle(branch, 2.4, state, 0) == near(2.4 / 30.0 + 2.4 / 900.0, 1e-12));
    CHECK(state.mode[0] == 1);
    CHECK(state.memory[1] == near(2.4 / 30.0, 1e-12));
    CHECK(settle(branch, -43.0, state, 0) == near(-0.1 - 40.0 / 4e4 - 43.0 / 900.0, 1e-12));
    CHECK(state.mode[0] == 0);
    const Branch two{
        .name = "disc",
        .kind = "disc",
        .row = {{0, 1.0}},
        .damping = 0.0,
        .chain = {Cell{{{"a", linear_spring(1.0, 0.0)}, {"b", linear_spring(2.0, 0.0)}}}}};
    state.mode = {0, 0};
    state.memory = {0.0, 0.0};
    CHECK_THROWS_AS((void)settle(two, 1.0, state, 0), ModelError);
}

TEST_CASE("a ring of elements whose ratios do not fit together has no steady state") {
    const Law spring = linear_spring(1e4, 0.0);
    const auto ring = [&](double ratio) {
        return LineBuilder()
            .mass("a", 1.0, 10.0)
            .mass("b", 1.0, 10.0)
            .element("one", {{0, 1.0}, {1, -1.0}}, lash({.gap = 0.01, .stiffness = 1e4}))
            .element("two", {{0, 1.0}, {1, -ratio}}, spring)
            .input(0, ConstantTorque{5.0})
            .input(1, ConstantTorque{-5.0})
            .done();
    };
    CHECK_THROWS_AS((void)steady_state(ring(1.0)), ModelError);
}

TEST_CASE("a crank torque's fluctuation leaves the speed without a mean") {
    const CrankTorque crank{.mean = 0.0,
                            .harmonics = {{.order = 1.5, .cosine = 8.0, .sine = -5.0},
                                          {.order = 2.0, .cosine = 20.0, .sine = 60.0}}};
    const Driveline line = LineBuilder().mass("engine", 5.0, 90.0).input(0, crank).done();
    const SteadyState steady = steady_state(line);
    AngleTrace trace;
    const double cycle = 4.0 * 3.14159265358979323846 / 90.0;
    REQUIRE(solve_general(line, steady.state,
                          {.end = cycle, .sample_step = cycle / 400.0, .tolerance = 1e-10}, &trace)
                .report.complete);
    double mean = 0.0, size = 0.0;
    for (std::size_t i = 0; i < 400; ++i) {
        mean += trace.speed[i] / 400.0;
        size = std::max(size, std::abs(trace.speed[i]));
    }
    CHECK(std::abs(mean) < 2e-3 * size);
}
