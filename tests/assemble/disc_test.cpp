// SPDX-License-Identifier: MIT
#include "libdamper/assemble/disc.hpp"

#include "libdamper/assemble/clutch_side.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/driveline/quasi_static.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/elements/spring.hpp"

#include "tests/support/near.hpp"
#include "tests/support/small_lines.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double degree = std::numbers::pi / 180.0;

DiscStage stage(const char* name, double k, double drive_end, double coast_end, double hysteresis) {
    DiscStage s;
    s.name = name;
    s.stiffness = Stiffness::from_si(k);
    s.drive_end = Angle::from_si(drive_end * degree);
    s.coast_end = Angle::from_si(coast_end * degree);
    s.hysteresis = Torque::from_si(hysteresis);
    s.friction_factor = Ratio::from_si(1.0);
    return s;
}

/// One, two or three stages, coast side shorter.
Disc disc_of(int stages) {
    Disc disc;
    if (stages > 1) disc.stages.push_back(stage("idle", 30.0, 6.0, 4.0, 1.0));
    if (stages > 2) disc.stages.push_back(stage("middle", 180.0, 10.0, 7.0, 3.0));
    disc.stages.push_back(stage("main", 950.0, 21.0, 13.0, 16.0));
    disc.stop_stiffness = Stiffness::from_si(4e4);
    disc.friction_grip = Ratio::from_si(40.0);
    return disc;
}

Disc without_friction(Disc disc) {
    for (DiscStage& s : disc.stages) s.hysteresis = {};
    return disc;
}

QuasiStatic bench(const Disc& disc) {
    Branch branch{.name = "disc",
                  .kind = "disc",
                  .row = {{0, 1.0}},
                  .damping = 0.0,
                  .chain = disc_cells(disc)};
    if (disc.spline_play.si() > 0.0) branch.chain.push_back(spline_cell(disc));
    return QuasiStatic(branch);
}

double settled_loop(QuasiStatic motion, double low, double high) {
    motion.move_to(high);
    motion.move_to(low);
    const double before = motion.work();
    motion.move_to(high);
    motion.move_to(low);
    return motion.work() - before;
}

/// The disc between a moved engine side and a held hub, flange as given, as vehicles get it.
Assembled clutch(const char* assembly, double flange) {
    Vehicle vehicle;
    vehicle.disc = disc_of(2);
    vehicle.disc.assembly = assembly;
    vehicle.disc.flange_inertia = Inertia::from_si(flange);
    vehicle.disc.hub_inertia = Inertia::from_si(0.001);
    vehicle.disc.damping = Damping::from_si(0.02);
    vehicle.gearbox.input_inertia = Inertia::from_si(0.005);
    vehicle.engine.inertia = Inertia::from_si(0.2);
    Assembled out;
    add_clutch_side(
        out, vehicle,
        {.engine_speed = 100.0, .input_speed = 100.0, .closed = true, .mean_speed = 100.0});
    return out;
}

}  // namespace

TEST_CASE("the skeleton goes through every corner of the description, with and without preload") {
    for (const int stages : {1, 2, 3}) {
        for (const double preload : {0.0, 5.0}) {
            CAPTURE(stages);
            CAPTURE(preload);
            Disc disc = without_friction(disc_of(stages));
            disc.stages.back().preload = Torque::from_si(preload);
            // By hand from the description: straight pieces, preload a narrow step on the stop.
            double drive = 0.0, coast = 0.0, drive_from = 0.0, coast_from = 0.0;
            QuasiStatic up = bench(disc), down = bench(disc);
            for (const DiscStage& s : disc.stages) {
                const double step = s.preload.si();
                const double narrow = step / 4e4;
                drive += step + s.stiffness.si() * (s.drive_end.si() - drive_from - narrow);
                coast += step + s.stiffness.si() * (s.coast_end.si() - coast_from - narrow);
                drive_from = s.drive_end.si();
                coast_from = s.coast_end.si();
                CHECK(up.move_to(drive_from) == near(drive, 1e-10));
                CHECK(down.move_to(-coast_from) == near(-coast, 1e-10));
            }
            const StageCorners last = stage_corners(disc).back();
            CHECK(last.drive_end_torque == near(drive, 1e-12));
            CHECK(last.coast_end_torque == near(coast, 1e-12));
            // Beyond the last corner the stops carry on with their stiffness.
            CHECK(up.move_to(drive_from + 0.01) == near(drive + 400.0, 1e-9));
            CHECK(down.move_to(-coast_from - 0.01) == near(-coast - 400.0, 1e-9));
        }
    }
}

TEST_CASE("inside a stage the disc has that stage's stiffness on either side") {
    Disc disc = without_friction(disc_of(3));
    disc.stages[2].coast_stiffness = Stiffness::from_si(600.0);
    const auto slope = [&](double at) {
        QuasiStatic motion = bench(disc);
        const double a = motion.move_to((at - 0.5) * degree);
        return (motion.move_to((at + 0.5) * degree) - a) / degree;
    };
    CHECK(slope(2.0) == near(30.0, 1e-9));
    CHECK(slope(-2.0) == near(30.0, 1e-9));
    CHECK(slope(8.0) == near(180.0, 1e-9));
    CHECK(slope(15.0) == near(950.0, 1e-9));
    CHECK(slope(-10.0) == near(600.0, 1e-9));
}

TEST_CASE("broken springs soften their stage by their share") {
    Disc disc = without_friction(disc_of(2));
    disc.stages[1].springs = 6;
    disc.stages[1].springs_broken = 2;
    QuasiStatic motion = bench(disc);
    const double a = motion.move_to(10.0 * degree);
    CHECK((motion.move_to(15.0 * degree) - a) / (5.0 * degree) == near(950.0 * 4.0 / 6.0, 1e-9));
    QuasiStatic idle = bench(disc);
    CHECK(idle.move_to(5.0 * degree) == near(30.0 * 5.0 * degree, 1e-9));
}

TEST_CASE("the friction factor scales the width of the loop") {
    Disc disc = disc_of(1);
    disc.friction_grip = Ratio::from_si(1e5);
    const double whole = settled_loop(bench(disc), -8.0 * degree, 8.0 * degree);
    CHECK(whole == near(16.0 * 16.0 * degree, 1e-3));
    for (const double factor : {0.25, 0.5, 2.0}) {
        disc.stages[0].friction_factor = Ratio::from_si(factor);
        CHECK(settled_loop(bench(disc), -8.0 * degree, 8.0 * degree) == near(factor * whole, 1e-3));
    }
    disc.stages[0].friction_factor = Ratio::from_si(0.0);
    CHECK(std::abs(settled_loop(bench(disc), -8.0 * degree, 8.0 * degree)) < 1e-10);
}

TEST_CASE("within the idle stage only its own washer rubs, however strong the main one") {
    Disc disc = disc_of(2);
    const double light = settled_loop(bench(disc), -3.0 * degree, 5.0 * degree);
    disc.stages[1].hysteresis = Torque::from_si(60.0);
    CHECK(settled_loop(bench(disc), -3.0 * degree, 5.0 * degree) == near(light, 1e-9));
    CHECK(light < 1.0 * 8.0 * degree);
    CHECK(light > 0.9 * 1.0 * 8.0 * degree);
}

TEST_CASE("friction play takes its twist off the loop") {
    Disc disc = disc_of(1);
    disc.friction_grip = Ratio::from_si(1e5);
    const double whole = settled_loop(bench(disc), -8.0 * degree, 8.0 * degree);
    disc.stages[0].friction_play = Angle::from_si(2.0 * degree);
    // Twice per cycle the washer waits for its play.
    CHECK(whole - settled_loop(bench(disc), -8.0 * degree, 8.0 * degree) ==
          near(2.0 * 8.0 * 2.0 * degree, 2e-3));
}

TEST_CASE("play of the spline is play of the disc: a flat piece as wide as it is") {
    Disc disc = without_friction(disc_of(2));
    const double plain = bench(disc).move_to(10.0 * degree);
    disc.spline_play = Angle::from_si(1.5 * degree);
    QuasiStatic motion = bench(disc);
    CHECK(motion.move_to(0.74 * degree) == 0.0);
    CHECK(motion.move_to(-0.74 * degree) == 0.0);
    // The teeth of the spline give a little, too.
    CHECK(motion.move_to(10.75 * degree) == near(plain, 2e-2));
    CHECK(motion.move_to(10.75 * degree) < plain);
}

TEST_CASE("lumped and series disc have the same quasi-static loop") {
    const Disc disc = disc_of(3);
    QuasiStatic lumped = bench(disc);
    // In series the flange finds the angle at which both sides have the same torque: by bisection.
    std::vector<Cell> cells = disc_cells(disc);
    QuasiStatic inner(
        {.name = "inner", .kind = "disc", .row = {{0, 1.0}}, .damping = 0.0, .chain = {cells[0]}});
    cells.erase(cells.begin());
    QuasiStatic outer(
        {.name = "outer", .kind = "disc", .row = {{0, 1.0}}, .damping = 0.0, .chain = cells});
    double before = 0.0;
    for (const double target : {18.0, -11.0, 6.0, -3.0, 20.0, 0.0}) {
        const double from = before * degree, to = target * degree;
        for (int i = 1; i <= 40; ++i) {
            const double twist = from + (to - from) * i / 40.0;
            const double torque = lumped.move_to(twist);
            // Both parts move one way only, so trying a torque must not pass it.
            const double sense = to > from ? 1.0 : -1.0;
            double low = outer.twist();
            double high = low + sense * 1.0;
            for (int trial = 0; trial < 70; ++trial) {
                const double middle = 0.5 * (low + high);
                QuasiStatic a(inner), b(outer);
                const bool beyond = (b.move_to(middle) - a.move_to(twist - middle)) * sense > 0.0;
                (beyond ? high : low) = middle;
            }
            outer.move_to(0.5 * (low + high));
            inner.move_to(twist - outer.twist());
            CHECK(std::abs(inner.torque() - torque) < 1e-9 * (1.0 + std::abs(torque)));
        }
        before = target;
    }
}

TEST_CASE("the flange's inertia parts series from lumped, and without it they come together") {
    const auto input_speed = [](const char* assembly, double flange) {
        Assembled out = clutch(assembly, flange);
        out.line.inputs.push_back({"engine torque", out.engine,
                                   SineTorque{.mean = 0.0, .amplitude = 60.0, .frequency = 180.0}});
        AngleTrace trace(static_cast<std::size_t>(out.input_shaft));
        const SteadyState start = steady_state(out.line);
        const TimeOutcome end = solve_general(
            out.line, start.state, {.end = 0.12, .sample_step = 1e-4, .tolerance = 1e-9}, &trace);
        REQUIRE(end.report.complete);
        return trace.speed;
    };
    const std::vector<double> lumped = input_speed("lumped", 0.0);
    const auto distance = [&](double flange) {
        const std::vector<double> series = input_speed("series", flange);
        double sum = 0.0, size = 0.0;
        for (std::size_t i = 0; i < lumped.size(); ++i) {
            sum += (series[i] - lumped[i]) * (series[i] - lumped[i]);
            size += lumped[i] * lumped[i];
        }
        return std::sqrt(sum / size);
    };
    const double heavy = distance(5e-3), light = distance(5e-5), bare = distance(5e-7);
    CHECK(heavy > 0.01);
    CHECK(light < 0.05 * heavy);
    CHECK(bare < 0.3 * light);
    CHECK(bare < 1e-4);
}

TEST_CASE("a stage that ends before its preload is overcome is refused") {
    Disc disc = disc_of(2);
    disc.stages[1].preload = Torque::from_si(4e4 * 16.0 * degree);
    CHECK_THROWS_AS((void)disc_cells(disc), ModelError);
    disc = disc_of(2);
    disc.stop_stiffness = Stiffness::from_si(400.0);
    CHECK_THROWS_AS((void)disc_cells(disc), ModelError);
}
