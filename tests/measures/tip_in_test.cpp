// SPDX-License-Identifier: MIT
#include "libdamper/measures/response.hpp"

#include "tests/measures/synthetic.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;
using namespace damper::synthetic;

namespace {

constexpr double pi = std::numbers::pi;

/// Step response of a damped oscillator to a torque step at 1 s.
struct Course {
    double frequency = 2.3;  // damped, Hz
    double zeta = 0.1;
    double from = 0.2;   // m/s2
    double to = 1.4;     // m/s2
    double drift = 0.0;  // m/s3
    [[nodiscard]] double at(double t) const {
        if (t <= 1.0) return from;
        const double s = t - 1.0;
        const double wd = 2.0 * pi * frequency;
        const double sigma = zeta / std::sqrt(1.0 - zeta * zeta) * wd;
        const double unit =
            1.0 - std::exp(-sigma * s) * (std::cos(wd * s) + sigma / wd * std::sin(wd * s));
        return from + (to - from) * unit + drift * s;
    }
};

struct Change {
    RunFacts facts;
    SignalSet signals;
    EventTable events;
    [[nodiscard]] Measured measured() const { return measure_run(facts, signals, events); }
};

Change change(const Course& course, double step = 1e-3, double length = 6.0) {
    Change run;
    run.facts.manoeuvre = course.to > course.from ? "tip in" : "back out";
    run.facts.vehicle_class = "car";
    run.facts.length = length;
    run.facts.change_start = 1.0;
    run.facts.change_end = 1.0;
    run.facts.acceleration_from = course.from;
    run.facts.acceleration_to = course.to;
    run.facts.stages = {{"idle", 0.10, -0.08, 30.0, 3.0, -2.4},
                        {"main", 0.35, -0.25, 950.0, 240.0, -164.0}};
    run.facts.loaded_lashes = {{"gear 2 mesh", 1.0, 0.2}, {"axle", 8.0, 0.2}};
    run.events.elements = {"gear 2 mesh", "axle"};
    run.signals = axis(step, length);
    put(run.signals, "vehicle_acceleration", "m/s2", [=](double t) { return course.at(t); });
    put(run.signals, "disc_twist", "rad", [](double t) { return t < 1.0 ? -0.1 : 0.2; });
    return run;
}

}  // namespace

TEST_CASE("shuffle frequency and damping of a clean step response come back within 0.5 %") {
    for (const double frequency : {1.03, 2.3, 3.73, 6.8}) {
        for (const double zeta : {0.03, 0.1, 0.2}) {
            CAPTURE(frequency);
            CAPTURE(zeta);
            const Measured m = change({.frequency = frequency, .zeta = zeta}).measured();
            CHECK(value(m, "shuffle_frequency") == doctest::Approx(frequency).epsilon(0.005));
            CHECK(value(m, "damping_ratio") == doctest::Approx(zeta).epsilon(0.01));
            CHECK(value(m, "log_decrement") ==
                  doctest::Approx(2.0 * pi * zeta / std::sqrt(1.0 - zeta * zeta)).epsilon(0.01));
        }
    }
}

TEST_CASE("drift of the mean and a second, faster oscillation do not mislead the shuffle") {
    Course course{.frequency = 2.3, .zeta = 0.08, .drift = -0.04};
    Change run = change(course);
    for (std::size_t i = 0; i < run.signals.time.size(); ++i) {
        const double t = run.signals.time[i] - 1.0;
        if (t > 0.0) {
            run.signals.signals[0].values[i] +=
                0.05 * std::exp(-3.0 * t) * std::sin(2.0 * pi * 13.0 * t);
        }
    }
    const Measured m = run.measured();
    CHECK(value(m, "shuffle_frequency") == doctest::Approx(2.3).epsilon(0.01));
    CHECK(value(m, "damping_ratio") == doctest::Approx(0.08).epsilon(0.1));
}

TEST_CASE("overshoot is that of the closed form, up and down alike") {
    for (const double zeta : {0.05, 0.1, 0.3}) {
        CAPTURE(zeta);
        const double expected = std::exp(-pi * zeta / std::sqrt(1.0 - zeta * zeta));
        const Measured up = change({.zeta = zeta}).measured();
        const Measured down = change({.zeta = zeta, .from = 0.5, .to = -0.7}).measured();
        CHECK(value(up, "overshoot") == doctest::Approx(expected).epsilon(0.005));
        CHECK(value(down, "overshoot") == doctest::Approx(value(up, "overshoot")).epsilon(1e-6));
    }
}

TEST_CASE("a stall on the way to the first peak is not taken for it") {
    const Course course{.frequency = 2.0, .zeta = 0.1, .from = 0.0, .to = 1.0};
    Change run = change(course);
    for (std::size_t i = 0; i < run.signals.time.size(); ++i) {
        const double dip = (run.signals.time[i] - 1.17) / 0.02;
        run.signals.signals[0].values[i] -= 0.6 * std::exp(-dip * dip);
    }
    const double expected = std::exp(-pi * 0.1 / std::sqrt(0.99));
    CHECK(value(run.measured(), "overshoot") == doctest::Approx(expected).epsilon(0.01));
}

TEST_CASE("twice the step doubles accelerations and leaves ratios and times alone") {
    const Measured one = change({.from = 0.0, .to = 1.0}).measured();
    const Measured two = change({.from = 0.0, .to = 2.0}).measured();
    for (const char* name :
         {"acceleration_peak_to_peak", "jerk_peak_to_peak", "vibration_dose_value"}) {
        CAPTURE(name);
        CHECK(value(two, name) == doctest::Approx(2.0 * value(one, name)).epsilon(1e-6));
    }
    for (const char* name : {"overshoot", "damping_ratio", "settle_time", "response_delay"}) {
        CAPTURE(name);
        CHECK(value(two, name) == doctest::Approx(value(one, name)).epsilon(1e-6));
    }
}

TEST_CASE("measures of a step response do not depend on how finely it was sampled") {
    const Measured coarse = change({}, 2e-3).measured();
    const Measured fine = change({}, 5e-4).measured();
    for (const char* name : {"shuffle_frequency", "damping_ratio", "overshoot", "settle_time",
                             "acceleration_peak_to_peak", "jerk_peak_to_peak",
                             "vibration_dose_value", "response_delay"}) {
        CAPTURE(name);
        CHECK(value(coarse, name) == doctest::Approx(value(fine, name)).epsilon(0.02));
    }
}

TEST_CASE("peak to peak after the first peak is the first peak's height over the next bottom") {
    const double q = std::exp(-pi * 0.1 / std::sqrt(0.99));
    const Measured m = change({.from = 0.0, .to = 1.0}).measured();
    CHECK(value(m, "acceleration_peak_to_peak") == doctest::Approx(q + q * q).epsilon(0.005));
}

TEST_CASE("settle time lies where the decaying swing last leaves the tenth of the step") {
    const Course course{.frequency = 2.0, .zeta = 0.1, .from = 0.0, .to = 1.0};
    double last = 0.0;
    for (double t = 1.0; t < 6.0; t += 1e-4) {
        if (std::abs(course.at(t) - 1.0) > 0.1) last = t - 1.0;
    }
    const Measured m = change(course).measured();
    CHECK(value(m, "settle_time") == doctest::Approx(last).epsilon(0.01));
    CHECK(value(m, "settle_cycles") == doctest::Approx(2.0 * last).epsilon(0.01));
}

TEST_CASE("a run that ends while it still rings has no settle time, and says so") {
    const Measured m = change({.zeta = 0.01}, 1e-3, 3.0).measured();
    CHECK(find(m, "settle_time") == nullptr);
    CHECK(noted(m, "No settle time"));
    CHECK(find(m, "shuffle_frequency") != nullptr);
}

TEST_CASE("a run that ends just as its ringing crosses the line has not settled either") {
    const Course course{.frequency = 2.3, .zeta = 0.01};
    const Measured m = change(course, 1e-3, 1.0 + 4.25 / 2.3).measured();
    CHECK(find(m, "settle_time") == nullptr);
    CHECK(noted(m, "No settle time"));
}

TEST_CASE("without oscillation there is no shuffle, and a note says why") {
    Change run = change({});
    for (std::size_t i = 0; i < run.signals.time.size(); ++i) {
        const double t = run.signals.time[i] - 1.0;
        run.signals.signals[0].values[i] = t < 0.0 ? 0.2 : 1.4 - 1.2 * std::exp(-4.0 * t);
    }
    const Measured m = run.measured();
    CHECK(find(m, "shuffle_frequency") == nullptr);
    CHECK(find(m, "damping_ratio") == nullptr);
    CHECK(find(m, "overshoot") == nullptr);
    CHECK(noted(m, "No shuffle frequency"));
    // It is within a tenth after ln(10)/4 s.
    CHECK(value(m, "settle_time") == doctest::Approx(std::log(10.0) / 4.0).epsilon(0.02));
}

TEST_CASE("no step, no shuffle") {
    const Measured m = change({.from = 0.5, .to = 0.5}).measured();
    CHECK(find(m, "overshoot") == nullptr);
    CHECK(noted(m, "no step"));
}

TEST_CASE("the delay of a ramp is a tenth of its rise") {
    Change run = change({});
    for (std::size_t i = 0; i < run.signals.time.size(); ++i) {
        const double t = run.signals.time[i] - 1.0;
        run.signals.signals[0].values[i] = 0.2 + 1.2 * std::min(1.0, std::max(0.0, t / 2.0));
    }
    CHECK(value(run.measured(), "response_delay") == doctest::Approx(0.2).epsilon(0.01));
}

TEST_CASE("the jerk of a slow sine is its acceleration times its circular frequency") {
    Change run = change({});
    for (std::size_t i = 0; i < run.signals.time.size(); ++i) {
        run.signals.signals[0].values[i] = 0.5 * std::sin(2.0 * pi * 1.0 * run.signals.time[i]);
    }
    CHECK(value(run.measured(), "jerk_peak_to_peak") == doctest::Approx(2.0 * pi).epsilon(0.005));
}

TEST_CASE("the step response is cut off at 30 Hz, the jerk at 10 Hz") {
    Change run = change({.from = 0.0, .to = 1.0});
    const auto fill = [&](double frequency) {
        for (std::size_t i = 0; i < run.signals.time.size(); ++i) {
            run.signals.signals[0].values[i] = std::sin(2.0 * pi * frequency * run.signals.time[i]);
        }
    };
    fill(30.0);
    const auto response =
        step_response({run.facts, run.signals.at("vehicle_acceleration").values, run.signals.step(),
                       run.signals.index_at(run.facts.change_start)});
    REQUIRE(response);
    const auto begin = response->values.begin();
    CHECK(*std::max_element(begin + 1000, begin + 3000) ==
          doctest::Approx(1.0 / std::sqrt(2.0)).epsilon(0.01));
    fill(10.0);
    CHECK(value(run.measured(), "jerk_peak_to_peak") ==
          doctest::Approx(2.0 * 20.0 * pi / std::sqrt(2.0)).epsilon(0.01));
}

TEST_CASE("the dose is taken over three seconds from the change on, weighted") {
    Change run = change({});
    const auto fill = [&](double until) {
        for (std::size_t i = 0; i < run.signals.time.size(); ++i) {
            const double t = run.signals.time[i];
            run.signals.signals[0].values[i] = t < until ? std::sin(2.0 * pi * 4.0 * t) : 0.0;
        }
        return value(run.measured(), "vibration_dose_value");
    };
    const double full = fill(10.0);
    // Wd at 4 Hz is 0.51191; the band limit at 0.4 Hz still settles a little at the start.
    CHECK(full == doctest::Approx(0.51191 * std::pow(0.375 * 3.0, 0.25)).epsilon(0.01));
    CHECK(fill(4.2) == doctest::Approx(full).epsilon(1e-3));
    CHECK(fill(2.5) < 0.9 * full);
}

TEST_CASE("clunk refers speed, impulse and the energy that meets to the input shaft") {
    Change run = change({});
    run.events.impacts = {{0.5, 0, 1, 50.0, 50.0, 0.0, 50.0, 0.01},
                          {1.10, 0, 1, 6.0, 0.5, 100.0, 1.5, 0.02},
                          {1.12, 1, 1, 2.0, 8.0, 900.0, 3.0, 0.01},
                          {1.30, 0, 1, 3.0, 400.0, 100.0, 0.5, 4.7}};
    const Measured m = run.measured();
    CHECK(value(m, "lash_closings") == 3.0);
    CHECK(value(m, "clunk_closing_speed") == doctest::Approx(16.0));
    CHECK(value(m, "clunk_impulse") == doctest::Approx(1.0));  // 8/8; the last contact stays closed
    CHECK(value(m, "clunk_energy_lost") == doctest::Approx(5.0));
    // The axle lash, 16 rad/s at the input shaft, 0.2 kg m2 reduced.
    CHECK(value(m, "clunk_energy") == doctest::Approx(0.5 * 0.2 * 16.0 * 16.0));
    REQUIRE(m.gear_impacts.size() == 2);
    CHECK(m.gear_impacts[0].rate == doctest::Approx(0.4));
    CHECK(m.gear_impacts[1].rate == doctest::Approx(0.2));
}

TEST_CASE("the last slow touches of a lash are not counted as closings") {
    Change run = change({});
    run.events.impacts = {{1.10, 0, 1, 6.0, 0.5, 100.0, 1.5, 0.02},
                          {1.20, 0, 1, 0.049, 0.5, 1.0, 0.001, 0.02},
                          {1.30, 1, 1, 0.051, 0.5, 1.0, 0.001, 0.02}};
    CHECK(value(run.measured(), "lash_closings") == 2.0);
}

TEST_CASE("twist extremes and stop contacts are counted over the run") {
    Change run = change({});
    Signal& twist = run.signals.signals[1];
    for (std::size_t i = 0; i < twist.values.size(); ++i) {
        const double t = run.signals.time[i];
        twist.values[i] = t < 1.0 ? -0.1 : 0.2 + 0.2 * std::sin(2.0 * pi * (t - 1.0));
    }
    const Measured m = run.measured();
    CHECK(value(m, "twist_min") == doctest::Approx(-0.1));
    CHECK(value(m, "twist_max") == doctest::Approx(0.4).epsilon(1e-4));
    CHECK(value(m, "stop_contacts") == doctest::Approx(5.0));
    const double share = (0.5 - std::asin(0.75) / pi) * 5.0 / 6.0;
    CHECK(value(m, "time_at_stop") == doctest::Approx(share).epsilon(0.01));
}

TEST_CASE("every measure of a change of torque is a known one, with its unit") {
    check_known(change({}).measured());
}
