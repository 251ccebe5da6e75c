// SPDX-License-Identifier: MIT
#include "libdamper/measures/take_up.hpp"

#include "libdamper/clutch/start.hpp"
#include "libdamper/measures/face_heat.hpp"
#include "libdamper/measures/run_measures.hpp"

#include "tests/support/near.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <string>
#include <vector>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double pi = std::numbers::pi;

RunFacts facts_of_take_up() {
    RunFacts facts;
    facts.manoeuvre = "take up";
    facts.vehicle_class = "car";
    facts.driving = true;
    facts.length = 3.0;
    facts.idle_speed = 80.0;
    facts.clutch.face_area = 0.04;
    facts.clutch.face_temperature = 333.15;
    facts.clutch.plates = {{"plate", 1800.0, 0.5, 0.02, 13400.0},
                           {"flywheel", 3000.0, 0.5, 0.02, 13400.0}};
    facts.clutch.slipping = {{1000.0, -4.0, -8.0, 10.0}, {3000.0, 4.0, -8.0, 11.0}};
    return facts;
}

/// Slip that falls evenly from 150 rad/s at 0.2 s to nothing at 2.2 s under 60 N m, and an
/// acceleration of a ramp with a swing.
template <class Swing>
Measured measured_of(const RunFacts& facts, Swing swing) {
    RunMeasures measures;
    measures.start(facts, {});
    double angle = 0.0;
    for (int i = 0; i <= 15000; ++i) {
        RunSample sample;
        sample.time = 2e-4 * i;
        const double t = sample.time;
        const bool pressed = t >= 0.2 - 1e-9;
        sample.slip_speed = std::clamp(150.0 * (2.2 - t) / 2.0, 0.0, 150.0);
        angle += 2e-4 * sample.slip_speed;
        sample.slip_angle = angle;
        sample.clutch_torque = pressed ? 60.0 : 0.0;
        sample.clamp_load = pressed ? 1500.0 : 0.0;
        sample.vehicle_speed = std::max(0.0, 1.5 * (t - 0.2));
        sample.flywheel_speed = t < 1.0 ? 150.0 : 60.0;
        sample.vehicle_acceleration = pressed ? 1.0 + 0.4 * t + swing(t, angle) : 0.0;
        measures.sample(sample);
    }
    return measures.finish();
}

double value(const Measured& measured, const std::string& name) {
    const auto found = std::ranges::find(measured.measures, name, &MeasureValue::name);
    REQUIRE_MESSAGE(found != measured.measures.end(), name);
    return found->value;
}

bool has(const Measured& measured, const std::string& name) {
    return std::ranges::find(measured.measures, name, &MeasureValue::name) !=
           measured.measures.end();
}

const auto nothing = [](double, double) { return 0.0; };

}  // namespace

TEST_CASE("a flux that falls evenly warms a thick plate as its closed form says") {
    // Carslaw and Jaeger, section 2.9, superposed: k = 50 W/(m K), ρ = 7200 kg/m³, c = 500 J/(kg
    // K), 1e6 W/m² falling over 1 s: 39.6472 K at 0.5 s.
    const double effusivity = std::sqrt(50.0 * 7200.0 * 500.0);
    std::vector<double> flux;
    for (int i = 0; i < 1000; ++i) flux.push_back(1e6 * (1.0 - (i + 0.5) * 1e-3));
    const std::vector<double> rise = surface_rise(flux, 1e-3, effusivity);
    CHECK(*std::ranges::max_element(rise) == near(39.6472, 1e-4));
    CHECK(rise.back() == near(28.0348, 1e-3));
    CHECK(rise[249] == near(face_rise(1e6, 1.0, effusivity, 0.25), 1e-4));
}

TEST_CASE("slip time, energy, power and heat of a slip that falls evenly") {
    const RunFacts facts = facts_of_take_up();
    const Measured measured = measured_of(facts, nothing);
    CHECK(value(measured, "slip_time") == near(2.0, 1e-3));
    CHECK(value(measured, "slip_energy") == near(0.5 * 60.0 * 150.0 * 2.0, 1e-3));
    CHECK(value(measured, "slip_power_peak") == near(60.0 * 150.0, 1e-3));
    CHECK(value(measured, "slip_energy_level") == near(9000.0 / 0.04, 1e-3));
    CHECK(value(measured, "clutch_sticks") == 1.0);
    CHECK(value(measured, "caught_and_let_go") == 0.0);
    CHECK(value(measured, "engine_dip") == near(0.75, 1e-12));
    CHECK(value(measured, "plate_temperature") == near(333.15 + 4500.0 / 1800.0, 1e-5));
    const double flux = 0.5 * 9000.0 / 0.02;
    const double rise = largest_face_rise(flux, 2.0, 13400.0);
    CHECK(value(measured, "face_temperature") - 333.15 == near(std::max(rise, 2.5), 0.01));
    // Between its neighbours in the table: at a quarter of the way.
    CHECK(value(measured, "judder_mode_growth") == near(-2.0, 1e-9));
    CHECK(value(measured, "judder_margin") == near(0.25, 1e-9));
    CHECK(value(measured, "judder_mode_frequency") == near(10.25, 1e-9));
    CHECK(value(measured, "judder_acceleration") < 5e-3);
}

TEST_CASE("a start on a hill is judged as one") {
    RunFacts facts = facts_of_take_up();
    facts.clutch.grade = 0.12;
    const Measured measured = measured_of(facts, nothing);
    CHECK(has(measured, "slip_energy_hill"));
    CHECK(!has(measured, "slip_energy_level"));
}

TEST_CASE("a growing swing is told with its amplitude, frequency and growth") {
    const Measured measured = measured_of(facts_of_take_up(), [](double t, double) {
        return 0.05 * std::exp(2.0 * (t - 0.2)) * std::sin(2.0 * pi * 11.0 * t);
    });
    CHECK(value(measured, "judder_frequency") == near(11.0, 2e-3));
    CHECK(value(measured, "judder_growth") == near(2.0, 0.1));
    CHECK(value(measured, "judder_decrement") == near(-2.0 / 11.0, 0.1));
    CHECK(value(measured, "judder_acceleration") == near(0.05 * std::exp(4.0), 0.05));
    // Mean of the square: half of that of 0.05·e^(2t), up to a tenth of a second before the end.
    const double last = 1.9, seen = last - 0.1;
    CHECK(
        value(measured, "judder_rms") ==
        near(0.05 * std::sqrt(0.5 * (std::exp(4.0 * last) - std::exp(0.4)) / (4.0 * seen)), 0.03));
    CHECK(value(measured, "slip_order_share") < 0.4);
}

TEST_CASE("a dying swing has a negative growth") {
    const Measured measured = measured_of(facts_of_take_up(), [](double t, double) {
        return 0.5 * std::exp(-4.0 * (t - 0.3)) * std::sin(2.0 * pi * 9.0 * t);
    });
    CHECK(value(measured, "judder_frequency") == near(9.0, 5e-3));
    CHECK(value(measured, "judder_growth") == near(-4.0, 0.1));
}

TEST_CASE("a swing that turns with the slip is told from one that does not") {
    const Measured turning = measured_of(
        facts_of_take_up(), [](double, double angle) { return 0.3 * std::sin(angle + 0.4); });
    CHECK(value(turning, "slip_order_acceleration") == near(0.3, 0.05));
    CHECK(value(turning, "slip_order_share") > 0.9);
    const Measured fixed = measured_of(
        facts_of_take_up(), [](double t, double) { return 0.3 * std::sin(2.0 * pi * 16.0 * t); });
    CHECK(value(fixed, "slip_order_share") < 0.35);
    CHECK(value(fixed, "shaft_order_share") < 0.35);
    // What turns with the input shaft: the engine's angle less that of the slip.
    const Measured shaft = measured_of(facts_of_take_up(), [](double t, double angle) {
        const double engine = 150.0 * std::min(t, 1.0) + 60.0 * std::max(t - 1.0, 0.0);
        return 0.3 * std::sin(engine - angle);
    });
    CHECK(value(shaft, "shaft_order_acceleration") == near(0.3, 0.05));
    CHECK(value(shaft, "shaft_order_share") > 0.9);
    CHECK(value(shaft, "slip_order_share") < 0.5);
    CHECK(value(turning, "shaft_order_share") < 0.5);
}

TEST_CASE("a clutch that does not close, or slips too briefly, is told") {
    RunFacts facts = facts_of_take_up();
    RunMeasures measures;
    measures.start(facts, {});
    for (int i = 0; i < 1000; ++i) {
        RunSample sample;
        sample.time = 1e-3 * i;
        sample.slip_speed = 100.0;
        sample.flywheel_speed = 100.0;
        measures.sample(sample);
    }
    const Measured measured = measures.finish();
    CHECK(!has(measured, "slip_time"));
    CHECK(measured.notes.size() >= 2);
}
