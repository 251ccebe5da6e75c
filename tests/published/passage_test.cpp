// SPDX-License-Identifier: MIT
#include "libdamper/elements/spring.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/general/general_solver.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <utility>

using namespace damper;

namespace {

using std::numbers::pi;

/// Largest twist and the largest of the last part, of samples as they come.
class Largest : public Sink {
  public:
    Largest(std::size_t branch, double late) : branch_(branch), late_(late) {}
    void sample(const Instant& now) override {
        const double twist = std::abs(now.stacked->twist(branch_, now.time, now.angle));
        all = std::max(all, twist);
        if (now.time > late_) after = std::max(after, twist);
    }
    void change(const ModeChange&) override {}
    void impact(const Impact&) override {}
    double all = 0.0, after = 0.0;

  private:
    std::size_t branch_;
    double late_;
};

/// A rotor whose speed rises evenly carries an oscillator on a spring and is shaken once per turn:
/// seen from the rotor, an undamped oscillator under a force of constant amplitude whose frequency
/// rises evenly.
struct Runs {
    double static_twist = 0.0, all = 0.0, after = 0.0;
};
Runs run(double q, bool exact) {
    const double natural = 2.0 * pi * 20.0;          // rad/s
    const double rise = 2.0 * pi * 20.0 * 20.0 / q;  // rad/s², so that f²/(df/dt) = q
    const double rotor = 1e4, small = 1e-3;          // kg m²
    const double shake = 50.0;                       // N m
    Driveline line;
    line.masses = {{"rotor", rotor, 0.0}, {"oscillator", small, 0.0}};
    Branch spring{.name = "spring", .kind = "shaft", .row = {{0, 1.0}, {1, -1.0}}, .chain = {}};
    spring.chain.push_back({{{"spring", linear_spring(small * natural * natural, 0.0)}}});
    line.branches.push_back(spring);
    line.inputs.push_back(
        {.name = "drive",
         .inertia = 0,
         .source = CrankTorque{.mean = (rotor + small) * rise, .harmonics = {{1.0, 0.0, shake}}}});
    const double passes = natural / rise;
    State start = start_state(line);
    const double preload = small * rise / (small * natural * natural);
    start.angle[1] = -preload;  // the twist that the even acceleration keeps
    Largest largest(0, 2.2 * passes);
    const TimeSettings time{.end = 2.6 * passes,
                            .sample_step = 2.5e-4,
                            .tolerance = 1e-9,
                            .largest_step = 1e-3,
                            .crank = 0};
    (void)(exact ? solve_exact(line, start, time, &largest, {})
                 : solve_general(line, start, time, &largest, {}));
    const double st = shake / rotor / (natural * natural);
    return {st, largest.all - preload, largest.after - preload};
}

}  // namespace

// Source: F. M. Lewis, Vibration during acceleration through a critical speed, Trans. ASME 54
// (1932), APM-54-24: largest amplitude of an undamped system 3.67·√q static deflections with
// q = f²/(df/dt) (value recalled). It is rederived: by stationary phase the swing that stays is
// π·√q static deflections, and the Cornu spiral's overshoot, 1.1705, makes 3.677·√q of it.
TEST_CASE("an undamped oscillator that passes its resonance swings as Lewis found") {
    for (const double q : {400.0, 1600.0}) {
        CAPTURE(q);
        const Runs exact = run(q, true);
        CHECK(exact.all / exact.static_twist / std::sqrt(q) == doctest::Approx(3.67).epsilon(0.02));
        CHECK(exact.after / exact.static_twist / std::sqrt(q) == doctest::Approx(pi).epsilon(0.05));
    }
    const Runs exact = run(400.0, true);
    const Runs general = run(400.0, false);
    CHECK(general.all == doctest::Approx(exact.all).epsilon(1e-5));
}
