// SPDX-License-Identifier: MIT
// Judder of whole drivelines at take-up: growth and frequency of the swing in time against the
// eigenvalue of the slipping driveline, with rising, flat and falling friction; thresholds of the
// friction gradient; a closed form with one inertia.
#include "libdamper/assemble/assemble.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/signals/damped_sine.hpp"
#include "libdamper/studies/measure_one.hpp"
#include "libdamper/studies/slipping_modes.hpp"

#include "tests/support/near.hpp"
#include "tests/support/rubbing_lines.hpp"
#include "tests/support/shipped.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double pi = std::numbers::pi;

/// A scenario of a take-up without what is not linear: no friction in the disc, a steady clamp.
Scenario linear_take_up(const std::string& name, Changes changes, double share) {
    Scenario scenario = shipped_scenario(name, std::move(changes));
    for (DiscStage& stage : scenario.vehicle.disc.stages) stage.hysteresis = Torque::from_si(0.0);
    auto& take_up = std::get<TakeUp>(scenario.manoeuvre);
    take_up.course = {{Time::from_si(0.0), Ratio::from_si(share)}};
    take_up.release.clear();
    return scenario;
}

struct Swing {
    double growth = 0.0;     ///< [1/s]
    double frequency = 0.0;  ///< [Hz]
    std::size_t face_changes = 0;
};

/// Lets the slipping driveline go from its steady pull, pushed along a mode, and fits the
/// vehicle's acceleration.
Swing swing_in_time(const Assembled& slipping, const SlippingMode& mode, bool exact) {
    Driveline line = slipping.line;
    // Pull of the faces at this slip, so that the start is the steady one but for the push.
    Driveline pulled = line;
    pulled.faces.clear();
    for (std::size_t f = 0; f < line.faces.size(); ++f) {
        const double rate =
            rate_of(line, line.faces[f].row, std::vector<double>(line.masses.size(), 0.0).data());
        const double torque = slip_torque(line.faces[f].law, Rubbing::slipping_up, 0.0, rate);
        for (const RowEntry& entry : line.faces[f].row) {
            pulled.inputs.push_back(
                {"faces", entry.inertia, ConstantTorque{-entry.factor * torque}});
        }
    }
    const SteadyState steady = steady_state(pulled);
    State start = steady.state;
    // The engine gains speed as fast as the disc, so that slip and friction stay.
    const auto engine = static_cast<std::size_t>(slipping.engine);
    const auto disc = static_cast<std::size_t>(slipping.clutch_disc);
    line.inputs = {{"engine torque", slipping.engine,
                    ConstantTorque{line.masses[engine].inertia *
                                   (steady.acceleration[disc] - steady.acceleration[engine])}}};
    start.rubbing.clear();
    // Off along the mode's own shape, 1 rad/s at the disc.
    const std::complex<double> at_disc = mode.lambda * mode.shape(static_cast<Eigen::Index>(disc));
    for (std::size_t i = 0; i < line.masses.size(); ++i) {
        const std::complex<double> angle = mode.shape(static_cast<Eigen::Index>(i)) / at_disc;
        start.angle[i] += angle.real();
        start.speed[i] += (mode.lambda * angle).real();
    }

    struct Trace : Sink {
        std::size_t vehicle = 0;
        std::size_t faces = 0;
        std::vector<double> acceleration;
        void sample(const Instant& now) override {
            acceleration.push_back(now.acceleration[vehicle]);
        }
        void change(const ModeChange& one) override {
            if (one.element >= static_cast<int>(faces)) ++changes;
        }
        std::size_t changes = 0;
    } trace;
    trace.vehicle = static_cast<std::size_t>(slipping.vehicle);
    trace.faces = line.part_count();
    const TimeSettings settings{.end = 0.45, .sample_step = 5e-4, .tolerance = 1e-10};
    if (exact) {
        (void)solve_exact(line, start, settings, &trace, {});
    } else {
        (void)solve_general(line, start, settings, &trace, {});
    }
    const auto sine = fit_damped_sine(trace.acceleration, 5e-4, 3.0, 20.0);
    REQUIRE(sine);
    return {-sine->decay, sine->frequency, trace.changes};
}

}  // namespace

TEST_CASE("the swing of a slipping driveline grows and dies as its eigenvalue says") {
    struct Case {
        const char* scenario;
        const char* gradient;
        double share;
    };
    for (const Case& one :
         {Case{"car_take_up_1", "0.006 s/m", 0.25}, Case{"car_take_up_1", "0 s/m", 0.25},
          Case{"car_take_up_1", "-0.012 s/m", 0.25},
          Case{"medium_truck_take_up_2", "0.006 s/m", 0.30},
          Case{"medium_truck_take_up_2", "0 s/m", 0.30},
          Case{"medium_truck_take_up_2", "-0.012 s/m", 0.30}}) {
        CAPTURE(one.scenario);
        CAPTURE(one.gradient);
        const Scenario scenario =
            linear_take_up(one.scenario, {{"facing.friction_gradient", one.gradient}}, one.share);
        const auto& take_up = std::get<TakeUp>(scenario.manoeuvre);
        const double held = take_up.speed.si();
        const Assembled slipping =
            assemble_slipping(scenario.vehicle, take_up, scenario.conditions, 0.6 * held);
        const FrictionFaces& law = slipping.line.faces[0].law;
        const double clamp = law.load(0.0);
        const double speed = law.radius * 0.4 * held;
        const auto mode = judder_mode(slipping_modes(slipping, {clamp, speed}));
        REQUIRE(mode);
        for (const bool exact : {true, false}) {
            const Swing swing = swing_in_time(slipping, *mode, exact);
            CHECK(swing.face_changes == 0);
            // What is left: drag of the air, loose gears, and a sine fitted to four to six periods.
            CHECK(std::abs(swing.growth - mode->lambda.real()) <
                  0.03 * std::abs(mode->lambda.real()));
            CHECK(swing.frequency == near(mode->lambda.imag() / (2.0 * pi), 0.01));
        }
    }
}

TEST_CASE("one inertia on the faces has the eigenvalue of its closed form") {
    // z = 2, N = 4000 N, R = 0.1 m, J = 0.02 kg m², 6.145 Hz, c = 0.2 N m s/rad; −0.005 s/m:
    // λ = +5 ± 38.285i (derived).
    FrictionFaces faces;
    faces.lever = 0.2;
    faces.radius = 0.1;
    faces.friction = {{0.0, 40.0}, {0.4, 0.2}};
    faces.load = {{0.0}, {4000.0}};
    Assembled one;
    one.line = on_a_belt(0.02, 5000.0 / (12.95 * 12.95), 0.2, 200.0, faces);
    one.engine = 0;
    one.clutch_disc = 1;
    one.clutch_faces = 0;
    const auto lambda = slipping_modes(one, {4000.0, 20.0});
    REQUIRE(!lambda.empty());
    CHECK(lambda.front().lambda.real() == near(5.0, 1e-6));
    CHECK(lambda.front().lambda.imag() == near(38.285, 1e-5));
    // Neutral where c + z·N·R²·dμ/dv = 0.
    const auto edge = slipping_modes(one, {2000.0, 20.0});
    CHECK(std::abs(edge.front().lambda.real()) < 1e-9);
}

TEST_CASE("two inertias on the faces have the roots of their characteristic polynomial") {
    // Derived: engine J₁ free, disc J₂ with spring k and damper c to the ground, faces with the
    // damping g between them:
    //     J₁·J₂·s³ + (J₁·(c + g) + J₂·g)·s² + (J₁·k + g·c)·s + g·k = 0.
    const double j1 = 0.16, j2 = 0.008, k = 52.0, c = 0.20;
    Assembled two;
    two.line.masses = {{"engine", j1, 150.0}, {"disc", j2, 50.0}};
    Branch spring{
        .name = "spring", .kind = "shaft", .row = {{1, 1.0}}, .damping = 0.0, .chain = {}};
    spring.chain.push_back({{{"spring", linear_spring(k, c)}}});
    two.line.branches.push_back(std::move(spring));
    two.line.faces.push_back(
        {.name = "faces", .row = {{0, 1.0}, {1, -1.0}}, .law = faces_of(50.0), .modulations = {}});
    two.engine = 0;
    two.clutch_disc = 1;
    two.clutch_faces = 0;
    for (const double g : {0.3, 0.0, -0.1, -0.199, -0.3}) {
        CAPTURE(g);
        const auto modes = slipping_modes(two, {50.0, 10.0}, g);
        REQUIRE(modes.size() == 1);
        const std::complex<double> s = modes[0].lambda;
        const std::complex<double> cubic = j1 * j2 * s * s * s;
        const std::complex<double> rest =
            (j1 * (c + g) + j2 * g) * s * s + (j1 * k + g * c) * s + g * k;
        CHECK(std::abs(cubic + rest) < 1e-10 * std::abs(cubic));
        // The edge lies where the faces take the damper's share, but for J₂/J₁.
        if (g > -0.18) CHECK(s.real() < 0.0);
        if (g < -0.22) CHECK(s.real() > 0.0);
    }
}

TEST_CASE("a gradient of -0.005 s/m is about where a car begins to judder") {
    // Study of the judder characteristics of friction material for an automobile clutch and test
    // verification, Chinese J. Mech. Eng. 2023, doi 10.1186/s10033-023-00864-y (abstract): below
    // −0.005 s/m judder is not fully damped out, above it is clearly suppressed. The car here is
    // another one: its edge lies within a factor of two of that.
    const auto margin = [](const char* gradient) {
        const MeasuredRun run = measure_one(
            shipped_scenario("car_take_up_1", {{"facing.friction_gradient", gradient},
                                               {"manoeuvre.face_temperature", "100 degC"}}),
            RunSettings{});
        for (const MeasureValue& one : run.measured.measures) {
            if (one.name == "judder_margin") return one.value;
        }
        return -99.0;
    };
    CHECK(margin("-0.0025 s/m") > 0.0);
    CHECK(margin("-0.010 s/m") < 0.0);
    CHECK(margin("0 s/m") == near(1.0, 1e-12));
    CHECK(margin("0.005 s/m") > 1.0);
}

TEST_CASE("the faster friction falls with slip, the more the vehicle judders") {
    // D. Centea et al., The influence of the interface coefficient of friction upon the propensity
    // to judder in automotive clutches, Proc. IMechE D 213, 1999, 245–258 (abstract): judder grows
    // with friction that falls with slip.
    double before = 0.0;
    for (const char* gradient : {"-0.006 s/m", "-0.009 s/m", "-0.014 s/m"}) {
        const MeasuredRun run =
            measure_one(shipped_scenario("car_take_up_1", {{"facing.friction_gradient", gradient}}),
                        RunSettings{});
        const auto felt =
            std::ranges::find(run.measured.measures, "judder_acceleration", &MeasureValue::name);
        REQUIRE(felt != run.measured.measures.end());
        CHECK(felt->value > before);
        before = felt->value;
    }
}
