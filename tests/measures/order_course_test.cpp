// SPDX-License-Identifier: MIT
#include "libdamper/measures/order_course.hpp"

#include "libdamper/measures/passage.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <optional>
#include <string>

using namespace damper;

namespace {

using std::numbers::pi;

std::optional<double> value(const Measured& measured, const std::string& name) {
    for (const MeasureValue& one : measured.measures) {
        if (one.name == name) return one.value;
    }
    return std::nullopt;
}

/// A sweep from 100 to 300 rad/s in 20 s, the firing order's amplitudes functions of the speed.
template <class Flywheel, class Input, class Shaft>
Measured sweep(Flywheel flywheel, Input input, Shaft shaft, bool rises = true) {
    OrderCourse course(2.0);
    const double step = 2e-4;
    for (int i = 0; i * step < 20.0; ++i) {
        const double t = i * step;
        RunSample sample;
        sample.time = t;
        sample.flywheel_speed = rises ? 100.0 + 10.0 * t : 300.0 - 10.0 * t;
        sample.crank_angle = rises ? 100.0 * t + 5.0 * t * t : 300.0 * t - 5.0 * t * t;
        const double n = sample.flywheel_speed;
        const double phase = 2.0 * sample.crank_angle;
        sample.flywheel_acceleration = 10.0 + flywheel(n) * std::sin(phase);
        sample.input_shaft_acceleration = 10.0 + input(n) * std::cos(phase + 0.4);
        sample.drive_shaft_torque = 300.0 + shaft(n) * std::sin(phase + 1.0);
        course.add(sample);
    }
    RunFacts facts;
    facts.manoeuvre = "pull";
    facts.loose_gears = {{.element = "a", .ratio = 2.0, .inertia = 1e-3, .drag = 0.5}};
    Measured measured;
    course.tell(facts, measured);
    return measured;
}

}  // namespace

TEST_CASE("the course of an order gives back amplitudes that depend on the speed") {
    // A bell at 180 rad/s on a constant.
    const auto bell = [](double n) {
        return 100.0 + 400.0 * std::exp(-std::pow((n - 180.0) / 25.0, 2));
    };
    const auto flat = [](double) { return 250.0; };
    for (const bool rises : {true, false}) {
        CAPTURE(rises);
        const Measured measured = sweep(flat, bell, bell, rises);
        const SpeedCourse& course = measured.course;
        REQUIRE(course.speed.size() > 50);
        for (std::size_t i = 0; i < course.speed.size(); ++i) {
            CHECK(course.flywheel_acceleration[i] == doctest::Approx(250.0).epsilon(2e-3));
            CHECK(course.input_shaft_acceleration[i] ==
                  doctest::Approx(bell(course.speed[i])).epsilon(0.02));
        }
        CHECK(*value(measured, "input_shaft_acceleration_largest") ==
              doctest::Approx(500.0).epsilon(0.01));
        CHECK(*value(measured, "input_shaft_acceleration_largest_speed") ==
              doctest::Approx(180.0).epsilon(0.01));
        CHECK(*value(measured, "transfer_largest") == doctest::Approx(2.0).epsilon(0.01));
        // 250 = 100 + 400·exp(−x²): above 180 + 25·√ln(400/150) the input swings less.
        const double from = 180.0 + 25.0 * std::sqrt(std::log(400.0 / 150.0));
        CHECK(std::abs(*value(measured, "isolation_speed") - from) < 4.0);
        CHECK(*value(measured, "threshold_ratio_largest") ==
              doctest::Approx(1e-3 * 2.0 * 500.0 / 0.5).epsilon(0.01));
        // 500 over the mean of 144 rad/s (exp(−2.07)) and 225 rad/s (exp(−3.24)).
        CHECK(*value(measured, "drive_shaft_torque_hump") ==
              doctest::Approx(500.0 / (0.5 * (bell(144.0) + bell(225.0)))).epsilon(0.05));
    }
}

TEST_CASE("where the flywheel stands nearly still there is no transfer") {
    const auto dip = [](double n) { return std::abs(n - 250.0) < 20.0 ? 1.0 : 400.0; };
    const Measured measured = sweep(
        dip, [](double) { return 100.0; }, dip);
    CHECK(*value(measured, "transfer_largest") == doctest::Approx(0.25).epsilon(0.3));
    CHECK(value(measured, "isolation_speed").has_value());
}

TEST_CASE("a flywheel that stands nearly still at the top proves no isolation") {
    // Up to 260 rad/s the gearbox swings more than the flywheel; above that nothing is known.
    const auto fades = [](double n) { return n < 260.0 ? 400.0 : 20.0; };
    const Measured amplified = sweep(
        fades, [](double) { return 450.0; }, fades);
    const auto& speeds = amplified.course.speed;
    CHECK(*value(amplified, "isolation_speed") == *std::max_element(speeds.begin(), speeds.end()));
    // Where it isolates before, that holds.
    const Measured isolated = sweep(
        fades, [](double n) { return n < 200.0 ? 450.0 : 100.0; }, fades);
    CHECK(*value(isolated, "isolation_speed") == doctest::Approx(200.0).epsilon(0.05));
}

TEST_CASE("a run shorter than two engine cycles has no course and says so") {
    OrderCourse course(2.0);
    RunSample sample;
    course.add(sample);
    Measured measured;
    course.tell({}, measured);
    CHECK(measured.measures.empty());
    CHECK(measured.notes.size() == 1);
}

TEST_CASE("reversals of a torque are counted by its sign") {
    TorqueReversals reversals;
    for (int i = 0; i <= 20000; ++i) {
        const double t = 1e-4 * i;
        reversals.add(t, std::sin(2.0 * pi * 3.0 * t + 0.1));
    }
    Measured measured;
    reversals.tell(measured);
    CHECK(*value(measured, "torque_reversals") == doctest::Approx(6.0).epsilon(0.01));
}

TEST_CASE("a start tells when idle is reached, a stop when the engine rests") {
    RunFacts facts;
    facts.manoeuvre = "engine stop";
    facts.switch_time = 0.5;
    Passage stop(80.0);
    Passage start(80.0);
    for (int i = 0; i <= 3000; ++i) {
        const double t = 1e-3 * i;
        RunSample sample{.time = t};
        sample.flywheel_speed = std::max(0.0, 80.0 - 40.0 * std::max(0.0, t - 0.5));
        sample.disc_twist = 0.1 * std::exp(-std::pow((sample.flywheel_speed - 30.0) / 5.0, 2));
        stop.add(sample);
        sample.flywheel_speed = 100.0 * t;
        start.add(sample);
    }
    Measured measured;
    stop.tell(facts, measured);
    CHECK(*value(measured, "run_down_time") == doctest::Approx(2.0 - 0.5 / 40.0).epsilon(0.01));
    CHECK(*value(measured, "passage_twist") == doctest::Approx(0.1).epsilon(1e-3));
    CHECK(*value(measured, "passage_twist_speed") == doctest::Approx(30.0).epsilon(0.01));
    facts.manoeuvre = "engine start";
    Measured begun;
    start.tell(facts, begun);
    CHECK(*value(begun, "time_to_idle") == doctest::Approx(0.8).epsilon(0.01));
}
