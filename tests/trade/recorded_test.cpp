// SPDX-License-Identifier: MIT
// A flywheel that turns as it was recorded must do to the gearbox what the engine did that it was
// recorded from.
#include "tests/trade/trade.hpp"

#include <cmath>
#include <numbers>

using namespace damper;
using namespace damper::trade;

namespace {

const std::vector<double>& signal(const RunRecord& record, const std::string& name) {
    const auto found = std::ranges::find(record.signals.signals, name, &Signal::name);
    REQUIRE(found != record.signals.signals.end());
    return found->values;
}

/// The same vehicle, driven by the flywheel speed of a run.
Scenario driven_by(const RunRecord& from, Scenario scenario) {
    RecordedSpeed recorded;
    recorded.recording = "in memory";
    recorded.settle = Time::from_si(0.7);
    recorded.time = from.signals.time;
    recorded.speed = signal(from, "flywheel_speed");
    recorded.length = Time::from_si(2.3);
    scenario.manoeuvre = recorded;
    scenario.bands.clear();
    return scenario;
}

}  // namespace

TEST_CASE("an idle is the same whether its engine or its recorded flywheel drives it") {
    for (const char* name : {"car_idle_hot", "van_idle_cold", "car_idle_weak_cylinder"}) {
        CAPTURE(name);
        const Scenario engine = shipped(name, {{"manoeuvre.length", "2.6 s"}});
        const RunRecord from = run(engine);
        const RunRecord to = run(driven_by(from, engine));
        for (const char* what : {"transfer", "input_shaft_acceleration_order",
                                 "speed_fluctuation_flywheel_order", "half_order_angle"}) {
            CAPTURE(what);
            const double floor = std::string(what) == "half_order_angle" ? 2e-5 : 0.0;
            CHECK(std::abs(measure(to, what) - measure(from, what)) <
                  0.01 * measure(from, what) + floor);
        }
    }
}

TEST_CASE("what drives a recorded flywheel is moved by nothing behind it") {
    const Scenario engine = shipped("car_idle_hot", {{"manoeuvre.length", "2.6 s"}});
    const RunRecord from = run(engine);
    Scenario light = driven_by(from, engine);
    Scenario stiff = light;
    stiff.vehicle.disc.stages[0].stiffness =
        Stiffness::from_si(20.0 * stiff.vehicle.disc.stages[0].stiffness.si());
    const RunRecord a = run(light), b = run(stiff);
    const auto& one = signal(a, "flywheel_speed");
    const auto& other = signal(b, "flywheel_speed");
    REQUIRE(one.size() == other.size());
    double apart = 0.0, swing = 0.0;
    for (std::size_t i = 0; i < one.size(); ++i) {
        apart = std::max(apart, std::abs(one[i] - other[i]));
        swing = std::max(swing, std::abs(one[i] - one[0]));
    }
    CHECK(swing > 0.5);
    CHECK(apart < 1e-5 * swing);
    CHECK(measure(b, "transfer") > 2.0 * measure(a, "transfer"));
}

TEST_CASE("in a gear the recorded flywheel drives the vehicle") {
    Scenario scenario = shipped("car_pull_3");
    RecordedSpeed recorded;
    recorded.recording = "in memory";
    recorded.gear = scenario.vehicle.gearbox.gears[2].name;
    recorded.settle = Time::from_si(0.7);
    recorded.length = Time::from_si(2.0);
    const double mean = 2000.0 * std::numbers::pi / 30.0, firing = 2.0 * mean;
    for (int i = 0; i <= 12000; ++i) {
        const double t = i / 5000.0;
        recorded.time.push_back(t);
        recorded.speed.push_back(mean + 2.0 * std::sin(firing * t));
    }
    scenario.manoeuvre = recorded;
    scenario.bands.clear();
    const RunRecord record = run(scenario);
    const double flywheel = measure(record, "speed_fluctuation_flywheel_order");
    CHECK(flywheel == doctest::Approx(2.0).epsilon(1e-3));
    const auto& speed = signal(record, "vehicle_speed");
    CHECK(speed.back() == doctest::Approx(speed.front()).epsilon(0.01));
    CHECK(measure(record, "transfer") < 1.5);
}

TEST_CASE("the shipped recording shows its weak cylinder") {
    const RunRecord record = run("car_idle_recorded_weak_cylinder");
    const RunRecord truth =
        run("car_idle_hot", {{"engine.cylinder_gains", "[1.0, 0.7, 1.0, 1.0]"}});
    CHECK(measure(record, "half_order_angle") ==
          doctest::Approx(measure(truth, "half_order_angle")).epsilon(0.02));
    CHECK(measure(record, "input_shaft_acceleration_order") ==
          doctest::Approx(measure(truth, "input_shaft_acceleration_order")).epsilon(0.02));
    REQUIRE_FALSE(record.verdict.reasons.empty());
    CHECK(record.verdict.reasons.front().find("order ½") != std::string::npos);
}
