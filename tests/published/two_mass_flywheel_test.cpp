// SPDX-License-Identifier: MIT
// Two-mass flywheels and mounts against closed forms of the textbooks.
#include "libdamper/assemble/two_mass_flywheel.hpp"

#include "libdamper/assemble/assemble.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/modes/natural_modes.hpp"
#include "libdamper/studies/operating_point.hpp"

#include "tests/support/near.hpp"
#include "tests/support/shipped.hpp"
#include "tests/support/small_lines.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double pi = std::numbers::pi;

/// One stage of stiffness k [N m/rad] for half a radian each way, without friction.
TwoMassFlywheel plain(double k, double free_angle) {
    TwoMassFlywheel flywheel;
    flywheel.free_angle = Angle::from_si(free_angle);
    flywheel.stages.push_back({.name = "arc",
                               .stiffness = Stiffness::from_si(k),
                               .coast_stiffness = {},
                               .drive_end = Angle::from_si(0.5),
                               .coast_end = Angle::from_si(0.5)});
    flywheel.stop_stiffness = Stiffness::from_si(1e6 * k);
    flywheel.arc_reference_speed = AngularSpeed::from_si(200.0);
    flywheel.friction_factor = flywheel.friction_grip = Ratio::from_si(1.0);
    return flywheel;
}

Driveline two_masses(const TwoMassFlywheel& flywheel, double primary, double secondary) {
    Driveline line = LineBuilder().mass("primary", primary).mass("secondary", secondary).done();
    line.branches.push_back(flywheel_branch(flywheel, 0.0, 0, 1));
    return line;
}

NaturalModes modes_of(const Driveline& line) {
    return natural_modes(linearise(line, start_state(line), Friction::slips));
}

}  // namespace

// J. P. Den Hartog, Mechanical Vibrations, the dynamic vibration absorber: an absorber tuned to the
// main system, mass ratio μ, has (ω/ωa)² = 1 + μ/2 ± √(μ + μ²/4); for μ = 0.2 the book gives 0.8
// and 1.25 (equation and figures recalled, not read in the source).
TEST_CASE("a secondary side tuned as an absorber has Den Hartog's two frequencies") {
    const double main_inertia = 0.5, tuned = 70.0;
    for (const double mu : {0.1, 0.2, 0.5}) {
        CAPTURE(mu);
        const double secondary = mu * main_inertia;
        Driveline line = two_masses(plain(secondary * tuned * tuned, 0.0), main_inertia, secondary);
        LineBuilder wall;
        line.branches.push_back(
            {.name = "shaft to the wall",
             .kind = "shaft",
             .row = {{0, 1.0}},
             .damping = 0.0,
             .chain = {{{{"shaft", linear_spring(main_inertia * tuned * tuned, 0.0)}}}}});
        const NaturalModes found = modes_of(line);
        REQUIRE(found.modes.size() == 2);
        const double root = std::sqrt(mu + 0.25 * mu * mu);
        CHECK(found.modes[0].frequency / tuned == near(std::sqrt(1.0 + 0.5 * mu - root), 1e-9));
        CHECK(found.modes[1].frequency / tuned == near(std::sqrt(1.0 + 0.5 * mu + root), 1e-9));
        if (mu == 0.2) {
            CHECK(found.modes[0].frequency / tuned == near(0.80, 5e-3));
            CHECK(found.modes[1].frequency / tuned == near(1.25, 5e-3));
        }
    }
}

// Den Hartog, as above, two discs on a free shaft: ω² = k·(J₁ + J₂)/(J₁·J₂), amplitudes in inverse
// proportion to the inertias (recalled; derived in any textbook).
TEST_CASE("the two masses swing against each other with the frequency of two free discs") {
    const double k = 200.0, primary = 0.13, secondary = 0.07;
    const NaturalModes found = modes_of(two_masses(plain(k, 0.0), primary, secondary));
    REQUIRE(found.modes.size() == 1);
    CHECK(found.rigid_bodies == 1);
    CHECK(found.modes[0].frequency == near(std::sqrt(k * (1.0 / primary + 1.0 / secondary)), 1e-9));
    CHECK(found.modes[0].shape(0) / found.modes[0].shape(1) == near(-secondary / primary, 1e-9));
}

// Den Hartog, same book, on systems with clearances: half a period is half an oscillation on the
// spring and the way through the play at constant speed. With whole play 2a and v the speed in it,
// T = 2π/ω + 4a/v (derived).
TEST_CASE("with a free angle the two masses swing the slower the smaller the swing") {
    const double k = 200.0, primary = 0.13, secondary = 0.07, half = 0.05;
    const double natural = std::sqrt(k * (1.0 / primary + 1.0 / secondary));
    const Driveline line = two_masses(plain(k, 2.0 * half), primary, secondary);
    for (const double v : {4.0, 8.0, 20.0}) {
        CAPTURE(v);
        const double period = 2.0 * pi / natural + 4.0 * half / v;
        State start = start_state(line);
        // The two turn against each other without a common momentum, in the middle of the play.
        start.speed = {v * secondary / (primary + secondary), -v * primary / (primary + secondary)};
        const TimeOutcome out =
            solve_exact(line, start, {.end = 5.0 * period, .sample_step = period}, nullptr, {});
        // The seats are a millionth as soft as the spring: 1e-6 of the phase of five periods.
        CHECK(out.end.speed[0] == near(start.speed[0], 1e-4));
        CHECK(std::abs(out.end.angle[0] - out.end.angle[1]) < 1e-4 * half);
        CHECK(std::abs(out.energy.unbalanced()) < 1e-10 * v * v);
    }
}

// H. Dresig and F. Holzweißig, Dynamics of Machinery, and any handbook: an engine that rolls on
// mounts drives wheels that stand still through gears in its own housing. With the whole ratio i,
// the shaft's stiffness k (both sides) and the mounts' K, the twist of the shaft is
// θ/i + φ·(1 − 1/i), and ω² are the eigenvalues of
//     [ k/(i²·J)                 k·(1 − 1/i)/(i·√(J·B))     ]
//     [ k·(1 − 1/i)/(i·√(J·B))   (K + k·(1 − 1/i)²)/B       ]
// (derived; the handbook's two-degree-of-freedom scheme is recalled).
TEST_CASE("shuffle and roll of a transverse engine are those of two degrees of freedom") {
    for (const char* gear : {"1", "2", "3"}) {
        CAPTURE(gear);
        // Wheels so heavy that they stand: at 1000 kg m2 against 10 at most, 1 % of the inertia.
        const Scenario scenario =
            shipped_scenario("car_on_mounts_tip_in_2", {{"disc", "car_rigid_hub"},
                                                        {"tyre.rim_inertia", "500 kg m2"},
                                                        {"manoeuvre.gear", gear}});
        const OperatingPoint point = operating_point(scenario, {.gear = gear});
        const NaturalModes found = natural_modes(point.linear);
        const Vehicle& vehicle = scenario.vehicle;
        const double i = point.assembled.gear_path[0].second * point.assembled.gear_path[1].second;
        const double k = 2.0 * vehicle.axle.half_shaft_stiffness.si();
        const double mounts = vehicle.mounts->roll_stiffness.si();
        const double block = vehicle.mounts->roll_inertia.si();
        // All that turns in the gearbox, referred to the engine.
        double turning = 0.0;
        const std::vector<RotatingMass>& masses = point.assembled.line.masses;
        for (const RotatingMass& mass : masses) {
            if (mass.name.starts_with("wheel") || mass.name.starts_with("tyre") ||
                mass.name == "vehicle" || mass.name == "power unit") {
                continue;
            }
            const double ratio = mass.reference_speed / point.speed;
            turning += mass.inertia * ratio * ratio;
        }
        const double lever = 1.0 - 1.0 / i;
        const double a = k / (i * i * turning);
        const double d = (mounts + k * lever * lever) / block;
        const double b = k * lever / (i * std::sqrt(turning * block));
        const double mean = 0.5 * (a + d);
        const double root = std::hypot(0.5 * (a - d), b);
        // Wheels that are not quite at rest, and a disc and teeth that give: 1 to 2 % together.
        const auto nearest = [&](double frequency) {
            double best = 0.0;
            for (const NaturalMode& mode : found.modes) {
                if (std::abs(mode.frequency - frequency) < std::abs(best - frequency)) {
                    best = mode.frequency;
                }
            }
            return best;
        };
        const double shuffle = std::sqrt(mean - root);
        const double roll = std::sqrt(mean + root);
        CHECK(nearest(shuffle) == near(shuffle, 0.02));
        CHECK(nearest(roll) == near(roll, 0.02));
        // Mounts in series with the shafts: the handbook's first estimate, block without inertia.
        const double series = 1.0 / (1.0 / k + lever * lever / mounts);
        CHECK(shuffle == near(std::sqrt(series / (i * i * turning)), 0.08));
    }
}
