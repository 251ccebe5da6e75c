// SPDX-License-Identifier: MIT
#include "libdamper/measures/run_measures.hpp"

#include "tests/measures/synthetic.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <set>

using namespace damper;
using namespace damper::synthetic;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double speed = 850.0 * pi / 30.0;  // rad/s

struct Idle {
    RunFacts facts;
    SignalSet signals;
    EventTable events;
    [[nodiscard]] Measured measured() const { return measure_run(facts, signals, events); }
};

/// Flywheel: order 2 and order ½; input shaft: order 2 only. Amplitudes of acceleration [rad/s2].
struct Swing {
    double flywheel = 400.0, half = 40.0, input = 100.0, twist = 0.02, twist_mean = 0.0;
};

Idle idle(const Swing& swing, double step = 5e-4, double length = 4.0) {
    Idle run;
    run.facts.manoeuvre = "idle";
    run.facts.vehicle_class = "car";
    run.facts.measured_from = 0.5;
    run.facts.length = length;
    run.facts.engine_speed = speed;
    run.facts.firing_order = 2.0;
    run.facts.engine_peak_torque = 200.0;
    run.facts.stages = {{"idle", 0.10, -0.08, 30.0, 3.0, -2.4},
                        {"main", 0.35, -0.25, 950.0, 240.0, -164.0}};
    run.facts.loose_gears = {{"gear 3 loose", 1.5, 1e-3, 0.1}, {"gear 5 loose", 2.0, 5e-4, 0.2}};
    run.events.elements = {"disc", "gear 3 loose", "gear 5 loose"};
    run.signals = axis(step, length);
    const double w = 2.0 * speed;
    const double h = 0.5 * speed;
    // The angle that belongs to the speed.
    put(run.signals, "crank_angle", "rad", [=](double t) {
        return speed * t - swing.flywheel / (w * w) * std::cos(w * t) -
               swing.half / (h * h) * std::cos(h * t);
    });
    put(run.signals, "flywheel_speed", "rad/s", [=](double t) {
        return speed + swing.flywheel / w * std::sin(w * t) + swing.half / h * std::sin(h * t);
    });
    put(run.signals, "flywheel_acceleration", "rad/s2",
        [=](double t) { return swing.flywheel * std::cos(w * t) + swing.half * std::cos(h * t); });
    put(run.signals, "input_shaft_speed", "rad/s",
        [=](double t) { return speed + swing.input / w * std::sin(w * t + 0.7); });
    put(run.signals, "input_shaft_acceleration", "rad/s2",
        [=](double t) { return swing.input * std::cos(w * t + 0.7); });
    put(run.signals, "disc_twist", "rad",
        [=](double t) { return swing.twist_mean + swing.twist * std::sin(w * t); });
    return run;
}

Impact hit(double time, int element, double closing_speed, double impulse, double energy) {
    return {time, element, 1, closing_speed, impulse, 0.0, energy, 1e-4, speed * time};
}

}  // namespace

TEST_CASE("speed fluctuation gives peak to peak, rms and firing order of a known swing") {
    const Measured m = idle({.half = 0.0}).measured();
    const double a = 400.0 / (2.0 * speed);
    CHECK(value(m, "speed_fluctuation_flywheel") == doctest::Approx(2.0 * a).epsilon(1e-3));
    CHECK(value(m, "speed_fluctuation_flywheel_rms") ==
          doctest::Approx(a / std::sqrt(2.0)).epsilon(5e-3));
    CHECK(value(m, "speed_fluctuation_flywheel_order") == doctest::Approx(a).epsilon(1e-3));
    CHECK(value(m, "speed_fluctuation_input_order") == doctest::Approx(a / 4.0).epsilon(1e-3));
    CHECK(value(m, "speed_fluctuation_input") == doctest::Approx(a / 2.0).epsilon(1e-3));
}

TEST_CASE("the transfer is the ratio of the firing orders, whatever the half order does") {
    const Measured even = idle({.half = 0.0}).measured();
    const Measured uneven = idle({.half = 60.0}).measured();
    CHECK(value(even, "transfer") == doctest::Approx(0.25).epsilon(1e-3));
    CHECK(value(uneven, "transfer") == doctest::Approx(0.25).epsilon(1e-3));
    CHECK(value(even, "input_shaft_acceleration_order") == doctest::Approx(100.0).epsilon(1e-3));
    CHECK(value(even, "input_shaft_acceleration_peak") == doctest::Approx(100.0).epsilon(1e-3));
}

TEST_CASE("the half order angle is the acceleration over the square of the circular frequency") {
    const Measured m = idle({.half = 40.0}).measured();
    const double h = 0.5 * speed;
    CHECK(value(m, "half_order_angle") == doctest::Approx(40.0 / (h * h)).epsilon(5e-3));
}

TEST_CASE("a drift of the mean speed is no half order") {
    // A known half order of 0.1 rad/s (or none) at 60 rad/s, and a mean that rises by 3 rad/s in 4
    // s, bends, or wanders slowly, all over the angle that belongs to it. Without weights a rise by
    // d over n cycles would be d/(π·n) = 0.05 rad/s at order ½ (integral of x·sin x by parts).
    const double w = 60.0, step = 5e-4;
    struct Drift {
        double rise, bend, wander;
    };
    for (const auto& [rise, bend, wander] :
         {Drift{0.75, 0.0, 0.0}, Drift{-0.75, 0.3, 0.0}, Drift{0.0, 0.0, 1.0}}) {
        for (const double half : {0.0, 0.1}) {
            CAPTURE(rise);
            CAPTURE(wander);
            CAPTURE(half);
            constexpr double slow = 2.0;  // [rad/s], a fifteenth of order ½
            double angle = 0.0;
            EngineOrders orders(2.0);
            const auto speed_at = [&](double t, double phi) {
                return w + rise * t + bend * t * t + wander * std::sin(slow * t) +
                       half * std::sin(0.5 * phi) + 1.5 * std::sin(2.0 * phi);
            };
            for (int i = 0; i <= 8000; ++i) {
                const double t = i * step;
                const double now = speed_at(t, angle);
                orders.add({.time = t, .crank_angle = angle, .flywheel_speed = now});
                // Heun's method: an angle that belongs to the speed within 1e-6.
                angle += 0.5 * step * (now + speed_at(t + step, angle + step * now));
            }
            orders.finish();
            CHECK(orders.flywheel_speed_half_order() ==
                  doctest::Approx(half).epsilon(0.01).scale(0.05));
        }
    }
}

TEST_CASE("measures of a steady swing do not depend on how finely it was sampled") {
    const Measured coarse = idle({}, 1e-3).measured();
    const Measured fine = idle({}, 2.5e-4).measured();
    for (const char* name : {"speed_fluctuation_flywheel_order", "transfer", "half_order_angle",
                             "twist_max", "time_beyond_first_stage", "threshold_ratio"}) {
        CAPTURE(name);
        CHECK(value(coarse, name) == doctest::Approx(value(fine, name)).epsilon(5e-3));
    }
}

TEST_CASE("what happens before the measured part does not count") {
    Idle run = idle({});
    const Measured before = run.measured();
    for (Signal& signal : run.signals.signals) {
        for (std::size_t i = 0; i < 900; ++i) signal.values[i] += 1000.0;
    }
    run.events.impacts = {hit(0.2, 1, 5.0, 1.0, 1.0)};
    const Measured after = run.measured();
    REQUIRE(before.measures.size() == after.measures.size());
    for (std::size_t i = 0; i < before.measures.size(); ++i) {
        CAPTURE(before.measures[i].name);
        CHECK(before.measures[i].value == after.measures[i].value);
    }
}

TEST_CASE("time beyond the first stage, stage changes and stops are those of the twist") {
    // ±0.15 rad about 0 with ends at 0.10 and −0.08 rad: two arcs of the sine lie outside.
    const Measured m = idle({.twist = 0.15}).measured();
    const double outside = 1.0 - (std::asin(0.10 / 0.15) + std::asin(0.08 / 0.15)) / pi;
    CHECK(value(m, "time_beyond_first_stage") == doctest::Approx(outside).epsilon(2e-3));
    CHECK(value(m, "time_at_stop") == 0.0);
    CHECK(value(m, "stop_contacts") == 0.0);
    CHECK(value(m, "stage_changes") ==
          doctest::Approx(4.0 * 2.0 * speed / (2.0 * pi)).epsilon(0.01));
    CHECK(value(m, "twist_min") == doctest::Approx(-0.15).epsilon(1e-3));
    CHECK(value(m, "twist_max") == doctest::Approx(0.15).epsilon(1e-3));
    CHECK(std::abs(value(m, "twist_mean")) < 1e-3);
    CHECK(value(idle({.twist = 0.05}).measured(), "time_beyond_first_stage") == 0.0);
}

TEST_CASE(
    "of two stages the last is what lies beyond the first; of three the middle does not count") {
    const Measured two = idle({.twist = 0.15}).measured();
    CHECK(value(two, "time_on_last_stage") == value(two, "time_beyond_first_stage"));

    Idle run = idle({.twist = 0.15});
    run.facts.stages = {{"idle", 0.10, -0.08, 30.0, 3.0, -2.4},
                        {"middle", 0.12, -0.10, 200.0, 23.0, -6.4},
                        {"main", 0.35, -0.25, 950.0, 165.0, -164.0}};
    const double outside = 1.0 - (std::asin(0.12 / 0.15) + std::asin(0.10 / 0.15)) / pi;
    CHECK(value(run.measured(), "time_on_last_stage") == doctest::Approx(outside).epsilon(2e-3));
    run.facts.stages[2].drive_end = 0.13;  // a stop behind the last stage counts with it
    CHECK(value(run.measured(), "time_on_last_stage") == doctest::Approx(outside).epsilon(2e-3));

    run.facts.stages = {run.facts.stages[2]};
    CHECK(find(run.measured(), "time_on_last_stage") == nullptr);
}

TEST_CASE("the mean speed is taken over whole engine cycles") {
    // A run that ends in the middle of a strong swing of half the crank speed.
    EngineOrders orders(2.0);
    const double h = 0.5 * speed;
    const double step = 2.5e-4;
    for (int i = 0; step * i < 3.5 * 2.0 * pi / h; ++i) {
        const double t = step * i;
        orders.add({.time = t,
                    .crank_angle = speed * t - 0.1 * std::cos(h * t),
                    .flywheel_speed = speed + 0.1 * h * std::sin(h * t)});
    }
    orders.finish();
    CHECK(orders.mean_speed() == doctest::Approx(speed).epsilon(5e-4));
}

TEST_CASE("the threshold ratio is that of the worst loose gear, and each gear keeps its own") {
    const Measured m = idle({}).measured();
    // 1e-3·1.5·100/0.1 and 5e-4·2·100/0.2
    CHECK(value(m, "threshold_ratio") == doctest::Approx(1.5).epsilon(1e-3));
    REQUIRE(m.gear_impacts.size() == 2);
    CHECK(m.gear_impacts[0].element == "gear 3 loose");
    CHECK(m.gear_impacts[0].threshold_ratio == doctest::Approx(1.5).epsilon(1e-3));
    CHECK(m.gear_impacts[1].threshold_ratio == doctest::Approx(0.5).epsilon(1e-3));
}

TEST_CASE("impacts add up by gear and in total") {
    Idle run = idle({}, 5e-4, 4.5);  // 4 s are measured
    run.events.impacts = {hit(0.49, 1, 9.0, 9.0, 9.0), hit(1.0, 1, 0.3, 0.02, 0.004),
                          hit(1.5, 2, 0.4, 0.01, 0.002), hit(2.0, 1, 0.4, 0.04, 0.006),
                          hit(2.2, 0, 7.0, 7.0, 7.0)};
    const Measured m = run.measured();
    CHECK(value(m, "impact_rate") == doctest::Approx(0.75));
    CHECK(value(m, "impact_energy_rate") == doctest::Approx(0.003));
    CHECK(value(m, "impact_impulse_mean") == doctest::Approx(0.07 / 3.0));
    CHECK(value(m, "impact_closing_speed_max") == doctest::Approx(0.4));
    CHECK(value(m, "impact_closing_speed_rms") == doctest::Approx(std::sqrt(0.41 / 3.0)));
    CHECK(m.gear_impacts[0].rate == doctest::Approx(0.5));
    CHECK(m.gear_impacts[0].energy_rate == doctest::Approx(0.0025));
    CHECK(m.gear_impacts[1].rate == doctest::Approx(0.25));
}

TEST_CASE("the last bounces of a tooth are no impacts, but their energy counts") {
    Idle run = idle({}, 5e-4, 4.5);
    run.events.impacts = {hit(1.0, 1, 0.3, 0.02, 0.004), hit(1.1, 1, 0.049, 0.01, 0.001),
                          hit(1.2, 1, 0.051, 0.01, 0.001)};
    const Measured m = run.measured();
    CHECK(value(m, "impact_rate") == doctest::Approx(2.0 / 4.0));
    CHECK(value(m, "impact_energy_rate") == doctest::Approx(0.006 / 4.0));
}

TEST_CASE("impacts once per firing are in step with it, impacts spread evenly are not") {
    Idle run = idle({});
    const double period = pi / speed;  // of order 2
    for (int i = 0; i < 60; ++i) {
        run.events.impacts.push_back(hit(1.0 + period * i, 1, 0.3, 0.01, 0.001));
    }
    CHECK(value(run.measured(), "impact_modulation") == doctest::Approx(1.0).epsilon(1e-3));
    for (int i = 0; i < 60; ++i) {
        run.events.impacts.push_back(hit(1.0 + period * (i + 0.5), 1, 0.3, 0.01, 0.001));
    }
    CHECK(value(run.measured(), "impact_modulation") < 1e-3);
    // A stronger half of the impacts shows through: (3 − 1)/(3 + 1).
    for (std::size_t i = 0; i < 60; ++i) run.events.impacts[i].energy_lost = 0.003;
    CHECK(value(run.measured(), "impact_modulation") == doctest::Approx(0.5).epsilon(1e-3));
}

TEST_CASE("a silent run has zero impacts, not absent ones") {
    const Measured m = idle({}).measured();
    CHECK(value(m, "impact_rate") == 0.0);
    CHECK(value(m, "impact_energy_rate") == 0.0);
    CHECK(value(m, "impact_modulation") == 0.0);
}

TEST_CASE("a gear without drag has no threshold ratio and the run says so") {
    Idle run = idle({});
    run.facts.loose_gears[0].drag = 0.0;
    const Measured m = run.measured();
    CHECK(m.gear_impacts[0].threshold_ratio == 0.0);
    CHECK(noted(m, "gear 3 loose has no drag"));
}

TEST_CASE("a run that ended early keeps what its length allows") {
    const Idle shorter = idle({}, 5e-4, 0.6);  // 0.1 s measured, a cycle takes 0.141 s
    const Measured m = shorter.measured();
    CHECK(find(m, "speed_fluctuation_flywheel") != nullptr);
    CHECK(find(m, "twist_max") != nullptr);
    CHECK(find(m, "transfer") == nullptr);
    CHECK(find(m, "threshold_ratio") == nullptr);
    CHECK(noted(m, "shorter than one engine cycle"));
    CHECK(m.spectra.empty());
    const Measured none = idle({}, 5e-4, 0.3).measured();
    CHECK(none.measures.empty());
}

TEST_CASE("spectra of both accelerations come along") {
    const Measured m = idle({}).measured();
    REQUIRE(m.spectra.size() == 2);
    CHECK(m.spectra[0].signal == "flywheel_acceleration");
    CHECK(m.spectra[1].signal == "input_shaft_acceleration");
    CHECK(m.spectra[0].order.back() == 8.0);
    CHECK(m.spectra[0].amplitude[3] == doctest::Approx(400.0).epsilon(2e-3));
    CHECK(m.spectra[0].amplitude[0] == doctest::Approx(40.0).epsilon(2e-2));
}

TEST_CASE("every measure has a key of its own, a unit and a definition") {
    std::set<std::string> names;
    for (const MeasureValue& one : idle({}).measured().measures) {
        CAPTURE(one.name);
        CHECK(names.insert(one.name).second);
        CHECK_FALSE(one.units.empty());
        CHECK(one.definition.size() > 30);
    }
}

TEST_CASE("every measure of an idle run is a known one, with its unit") {
    check_known(idle({}).measured());
}

TEST_CASE("a manoeuvre without measures is refused") {
    Idle run = idle({});
    run.facts.manoeuvre = "parade";
    CHECK_THROWS(run.measured());
}
