// SPDX-License-Identifier: MIT
// What every piecewise-linear law owes to the solvers, whatever it stands for.
#include "libdamper/driveline/quasi_static.hpp"
#include "libdamper/driveline/stacked.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"

#include "tests/support/near.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <vector>

using namespace damper;
using damper::test::near;

namespace {

constexpr double pi = std::numbers::pi;

struct Sample {
    const char* name;
    Law law;
    double torque_size;           ///< For tolerances [N m].
    std::vector<double> corners;  ///< Twists at which something happens [rad].
    bool jumps = false;           ///< A damped face: touching at speed is a jump of torque.
};

std::vector<Sample> laws() {
    return {
        {"linear spring", linear_spring(1000.0, 0.0), 50.0, {0.0}},
        {"damped spring", linear_spring(1000.0, 3.0), 50.0, {0.0}},
        {"damper", linear_spring(0.0, 3.0), 50.0, {0.0}},
        {"spring of two pieces",
         piecewise_spring({{"soft", 100.0}, {"stiff", 900.0}}, {0.01}),
         20.0,
         {0.01}},
        {"corner at zero",
         piecewise_spring({{"soft", 100.0}, {"stiff", 900.0}}, {0.0}),
         20.0,
         {0.0}},
        {"spring of five pieces",
         piecewise_spring({{"coast stop", 9000.0},
                           {"coast", 600.0},
                           {"idle", 30.0},
                           {"drive", 800.0},
                           {"drive stop", 9000.0}},
                          {-0.03, -0.01, 0.015, 0.04}),
         100.0,
         {-0.03, -0.01, 0.015, 0.04}},
        {"pieces off zero",
         piecewise_spring({{"a", 50.0}, {"b", 400.0}, {"c", 100.0}}, {0.01, 0.02}),
         20.0,
         {0.01, 0.02}},
        {"gap as a spring",
         piecewise_spring({{"coast", 500.0}, {"gap", 0.0}, {"drive", 500.0}}, {-0.01, 0.01}),
         20.0,
         {-0.01, 0.01}},
        {"slider", slider({.limit = 2.0, .grip = 400.0}), 2.0, {0.005, 0.01}},
        {"damped slider",
         slider({.limit = 2.0, .grip = 400.0, .viscous = 0.1}),
         2.0,
         {0.005, 0.01}},
        {"slider with play",
         slider({.limit = 2.0, .grip = 400.0, .play = 0.01}),
         2.0,
         {0.005, 0.01, 0.015}},
        {"damped slider with play",
         slider({.limit = 2.0, .grip = 400.0, .play = 0.01, .viscous = 0.1}),
         2.0,
         {0.005, 0.01, 0.015}},
        {"lash", lash({.gap = 0.02, .stiffness = 1e4}), 300.0, {0.01}},
        {"damped lash", lash({.gap = 0.02, .stiffness = 1e4, .damping = 5.0}), 300.0, {0.01}, true},
        {"closed lash", lash({.gap = 0.0, .stiffness = 1e4}), 300.0, {0.0}},
        {"damped closed lash",
         lash({.gap = 0.0, .stiffness = 1e4, .damping = 5.0}),
         300.0,
         {0.0},
         true},
    };
}

/// A law led through a given motion, its guards looked after as a solver does, in fine steps.
class Led {
  public:
    explicit Led(const Law& law) {
        line_.masses.push_back({"mass", 1.0, 0.0});
        line_.branches.push_back({.name = "law",
                                  .kind = "test",
                                  .row = {{0, 1.0}},
                                  .damping = 0.0,
                                  .chain = {{{{"law", law}}}}});
        stacked_.emplace_back(line_);
        state_ = start_state(line_);
        stacked_[0].set(state_);
    }

    struct Switch {
        double torque_before, torque_after, stored_before, stored_after, rate;
    };

    /// To twist `delta`, its rate and its acceleration; returns how many switches happened there.
    int move(double delta, double rate, double acceleration) {
        int count = 0;
        while (fire_one(delta, rate, acceleration)) {
            ++count;
            if (count > 20) return count;
        }
        const double torque = stacked_[0].torque(0, delta, rate);
        work += 0.5 * (torque + last_torque_) * (delta - delta_);
        const double heating = stacked_[0].heating(0, state_, rate);
        const double dt =
            std::abs(rate + rate_) > 0.0 ? 2.0 * (delta - delta_) / (rate + rate_) : 0.0;
        if (count == 0) {
            heat += 0.5 * (heating + last_heating_) * dt;
        } else {
            heat += heating * dt;
        }
        last_torque_ = torque;
        last_heating_ = heating;
        delta_ = delta;
        rate_ = rate;
        return count;
    }

    [[nodiscard]] double stored() const { return stacked_[0].stored(0, state_, delta_); }
    [[nodiscard]] double torque() const { return last_torque_; }

    double work = 0.0, heat = 0.0;
    std::vector<Switch> switches;

  private:
    bool fire_one(double delta, double rate, double acceleration) {
        for (const Stacked::GuardNow& guard : stacked_[0].guards(0)) {
            const double now = guard.at(delta, rate);
            const double slope = guard.twist * rate + guard.rate * acceleration;
            if (!(now < 0.0) || !(slope < 0.0)) continue;
            Switch s{};
            s.torque_before = stacked_[0].torque(0, delta, rate);
            s.stored_before = stacked_[0].stored(0, state_, delta);
            const Stacked::GuardNow fired = guard;
            stacked_[0].fire(fired, state_, delta);
            s.torque_after = stacked_[0].torque(0, delta, rate);
            s.stored_after = stacked_[0].stored(0, state_, delta);
            s.rate = rate;
            heat += s.stored_before - s.stored_after;
            switches.push_back(s);
            return true;
        }
        return false;
    }

    Driveline line_;
    std::vector<Stacked> stacked_;  ///< One; it refers to line_.
    State state_;
    double delta_ = 0.0, rate_ = 0.0, last_torque_ = 0.0, last_heating_ = 0.0;
};

constexpr int points = 8000;  // per cycle

/// Amplitudes at each corner, just inside and just outside, and well beyond.
std::vector<double> amplitudes(const Sample& sample) {
    std::vector<double> out;
    for (const double corner : sample.corners) {
        const double a = std::max(std::abs(corner), 1e-3);
        for (const double f : {1.0, 1.0 - 1e-9, 1.0 + 1e-9, 0.999, 1.001, 2.5})
            out.push_back(f * a);
    }
    return out;
}

void lead_cycles(Led& led, double amplitude, int cycles, int& most_switches) {
    const double w = 20.0;
    for (int i = 1; i <= cycles * points; ++i) {
        const double phi = 2.0 * pi * i / points;
        const double delta = amplitude * std::sin(phi);
        const int switched = led.move(delta, amplitude * w * std::cos(phi), -w * w * delta);
        most_switches = std::max(most_switches, switched);
    }
}

}  // namespace

TEST_CASE("the torque is continuous across every switch, except where a damped face is touched") {
    for (const Sample& sample : laws()) {
        CAPTURE(sample.name);
        for (const double amplitude : amplitudes(sample)) {
            CAPTURE(amplitude);
            Led led(sample.law);
            int most = 0;
            lead_cycles(led, amplitude, 2, most);
            for (const Led::Switch& s : led.switches) {
                const double jump = s.torque_after - s.torque_before;
                // A step is a small part of a cycle: what the steepest piece does within it. A
                // contact beginning at speed jumps by damping × speed, against the motion.
                const double allowed = sample.torque_size * 20.0 * 2.0 * pi / points;
                if (sample.jumps && jump * s.rate > 0.0) {
                    CHECK(std::abs(jump) <= 5.0 * std::abs(s.rate) + allowed);
                } else {
                    CHECK(std::abs(jump) <= allowed);
                }
            }
        }
    }
}

TEST_CASE("switching under a swinging twist is bounded, also with the amplitude at a corner") {
    for (const Sample& sample : laws()) {
        CAPTURE(sample.name);
        for (const double amplitude : amplitudes(sample)) {
            CAPTURE(amplitude);
            Led led(sample.law);
            int most = 0;
            lead_cycles(led, amplitude, 4, most);
            CHECK(most <= 3);
            // No more than every corner passed twice each way, and a reversal per half cycle.
            CHECK(led.switches.size() <= 4 * (4 * sample.corners.size() + 8));
        }
    }
}

TEST_CASE("the stored energy is continuous across every switch, except what a parting face loses") {
    for (const Sample& sample : laws()) {
        CAPTURE(sample.name);
        for (const double amplitude : amplitudes(sample)) {
            Led led(sample.law);
            int most = 0;
            lead_cycles(led, amplitude, 2, most);
            const double size = sample.torque_size * amplitude;
            for (const Led::Switch& s : led.switches) {
                if (sample.jumps) {
                    CHECK(s.stored_after <= s.stored_before + 1e-6 * size);
                } else {
                    CHECK(std::abs(s.stored_after - s.stored_before) < 1e-2 * size);
                }
            }
        }
    }
}

TEST_CASE("work equals the change of stored energy plus heat, and a closed cycle gives none back") {
    for (const Sample& sample : laws()) {
        CAPTURE(sample.name);
        for (const double amplitude : amplitudes(sample)) {
            CAPTURE(amplitude);
            Led led(sample.law);
            int most = 0;
            const double begin = led.stored();
            lead_cycles(led, amplitude, 1, most);
            const double size = sample.torque_size * amplitude + 1e-12;
            CHECK(std::abs(led.work - led.heat - (led.stored() - begin)) < 5e-3 * size);
            CHECK(led.heat > -5e-3 * size);
            const double work = led.work;
            lead_cycles(led, amplitude, 1, most);
            CHECK(led.work - work > -5e-3 * size);
        }
    }
}

TEST_CASE("a law that is not friction comes back to the same torque at the same twist") {
    for (const Sample& sample : laws()) {
        if (sample.law.is_friction) continue;
        CAPTURE(sample.name);
        QuasiStatic motion({.name = "law",
                            .kind = "test",
                            .row = {{0, 1.0}},
                            .damping = 0.0,
                            .chain = {{{{"law", sample.law}}}}});
        for (const double twist : {0.021, -0.013, 0.0005}) {
            const double first = motion.move_to(twist);
            motion.move_to(0.05);
            motion.move_to(-0.05);
            CHECK(std::abs(motion.move_to(twist) - first) <= 1e-12 * sample.torque_size);
        }
        CHECK(std::abs(motion.work() - motion.stored()) < 1e-12 * sample.torque_size);
    }
}

TEST_CASE("a slider loses 4·limit·(Φ − limit/grip) per settled cycle, with play another play/2") {
    for (const double play : {0.0, 0.004}) {
        const double phi = 0.03;
        QuasiStatic motion(
            {.name = "law",
             .kind = "test",
             .row = {{0, 1.0}},
             .damping = 0.0,
             .chain = {{{{"law", slider({.limit = 2.0, .grip = 400.0, .play = play})}}}}});
        motion.move_to(phi);
        motion.move_to(-phi);
        const double before = motion.work();
        motion.move_to(phi);
        motion.move_to(-phi);
        CHECK(motion.work() - before == near(4.0 * 2.0 * (phi - 2.0 / 400.0 - 0.5 * play), 1e-12));
    }
    QuasiStatic inside({.name = "law",
                        .kind = "test",
                        .row = {{0, 1.0}},
                        .damping = 0.0,
                        .chain = {{{{"law", slider({.limit = 2.0, .grip = 400.0})}}}}});
    for (int i = 0; i < 3; ++i) {
        inside.move_to(0.0049);
        inside.move_to(-0.0049);
    }
    CHECK(std::abs(inside.work() - inside.stored()) < 1e-15);
}

TEST_CASE("a lash pushes and never pulls, whatever its damping") {
    for (const double gap : {0.0, 0.01}) {
        Led led(lash({.gap = gap, .stiffness = 1e4, .damping = 40.0}));
        for (int i = 1; i <= 2 * points; ++i) {
            const double phi = 2.0 * pi * i / points;
            const double delta = 0.02 * std::sin(phi);
            led.move(delta, 0.02 * 300.0 * std::cos(phi), -9e4 * delta);
            if (i > points) CHECK(led.torque() * delta >= -1e-2);
            if (std::abs(delta) < 0.5 * gap) CHECK(led.torque() == 0.0);
        }
    }
}
