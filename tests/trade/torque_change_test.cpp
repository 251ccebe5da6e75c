// SPDX-License-Identifier: MIT
// What the trade knows of pedal pressed and let go, one sentence a test. Directions are common
// practice, no source.
#include "libdamper/assemble/assemble.hpp"
#include "libdamper/driveline/linearise.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/numerics/eigen_pairs.hpp"
#include "libdamper/solvers/general/general_solver.hpp"

#include "tests/trade/trade.hpp"

#include <cmath>
#include <numbers>

using namespace damper;
using namespace damper::trade;

namespace {

const std::string tip_in = "car_tip_in_2";

/// The driveline's lowest oscillation about the state in which a run ends.
DampedMode shuffle_mode(const Scenario& scenario) {
    const Assembled assembled = assemble(scenario);
    const double end = std::get<TipIn>(scenario.manoeuvre).length.si();
    const TimeOutcome out = solve_general(assembled.line, steady_state(assembled.line).state,
                                          {.end = end, .sample_step = 1e-2}, nullptr);
    REQUIRE(out.report.complete);
    const Linearised about = linearise(assembled.line, out.end, Friction::slips);
    return damped_modes(about.mass, about.damping, about.stiffness).front();
}

/// Largest acceleration of the input shaft [rad/s2].
double jolt_of(const RunRecord& record) {
    double largest = 0.0;
    for (const double a : record.signals.at("input_shaft_acceleration").values) {
        largest = std::max(largest, std::abs(a));
    }
    return largest;
}

}  // namespace

TEST_CASE("the shuffle after a tip-in has the frequency of the driveline's lowest mode") {
    const Scenario scenario = shipped(tip_in);
    const DampedMode mode = shuffle_mode(scenario);
    const RunRecord record = run(scenario);
    CHECK(measure(record, "shuffle_frequency") ==
          doctest::Approx(mode.damped_frequency / (2.0 * std::numbers::pi)).epsilon(0.02));
    // The disc's friction adds to the damping of shafts, tyres and slip.
    CHECK(measure(record, "damping_ratio") > mode.damping_ratio);
}

TEST_CASE("without the disc's friction frequency and damping are those of the lowest mode") {
    const Scenario scenario = shipped(
        tip_in, {{"disc.stages[0].friction_factor", "0"}, {"disc.stages[1].friction_factor", "0"}});
    const DampedMode mode = shuffle_mode(scenario);
    const RunRecord record = run(scenario);
    CHECK(measure(record, "shuffle_frequency") ==
          doctest::Approx(mode.damped_frequency / (2.0 * std::numbers::pi)).epsilon(0.01));
    CHECK(measure(record, "damping_ratio") == doctest::Approx(mode.damping_ratio).epsilon(0.05));
}

TEST_CASE("friction removed lowers the log decrement of the shuffle, a little in a low gear") {
    const RunRecord fitted = run(tip_in);
    const RunRecord worn = run(tip_in, {{"disc.stages[1].friction_factor", "0"}});
    CHECK(measure(worn, "log_decrement") < 0.97 * measure(fitted, "log_decrement"));
    const double lost = measure(fitted, "damping_ratio") - measure(worn, "damping_ratio");
    CHECK(lost > 0.003);
    CHECK(lost < 0.03);
}

TEST_CASE("larger lash raises the energy of the clunk") {
    double last = 0.0;
    for (const std::string lash : {"1.5 deg", "2.5 deg", "5 deg"}) {
        CAPTURE(lash);
        const double energy = measure(run(tip_in, {{"axle.lash", lash}}), "clunk_energy");
        CHECK(energy > 1.02 * last);
        last = energy;
    }
    CHECK(measure(run("car_tip_in_2_grown_lash"), "clunk_energy") >
          1.5 * measure(run(tip_in), "clunk_energy"));
    CHECK(measure(run("car_tip_in_2_grown_lash"), "clunk_closing_speed") >
          1.2 * measure(run(tip_in), "clunk_closing_speed"));
}

TEST_CASE("a tip-in that does not pass through zero torque does not clunk") {
    const RunRecord record = run(tip_in, {{"manoeuvre.from", "30 N m"}});
    CHECK(measure(record, "lash_closings") == 0.0);
    CHECK(measure(record, "clunk_energy") == 0.0);
}

TEST_CASE("a higher gear raises the shuffle frequency") {
    double last = 0.0;
    for (const std::string gear : {"1", "2", "3"}) {
        CAPTURE(gear);
        const double f = measure(run(tip_in, {{"manoeuvre.gear", gear}}), "shuffle_frequency");
        CHECK(f > 1.15 * last);
        last = f;
    }
}

TEST_CASE("softer half shafts lower the shuffle frequency") {
    const double fitted = measure(run(tip_in), "shuffle_frequency");
    const double softer =
        measure(run(tip_in, {{"axle.half_shaft_stiffness", "2400 N m/rad"}}), "shuffle_frequency");
    CHECK(softer < 0.9 * fitted);
}

TEST_CASE("a disc of half the stiffness hardly moves the shuffle in a low gear") {
    const double fitted = measure(run(tip_in), "shuffle_frequency");
    const double softer = measure(run(tip_in, {{"disc.stages[1].stiffness", "8.5 N m/deg"},
                                               {"disc.stages[1].drive_end", "36 deg"}}),
                                  "shuffle_frequency");
    CHECK(softer < fitted);
    CHECK(softer > 0.92 * fitted);
}

TEST_CASE("a slower torque rise shakes the vehicle less") {
    const RunRecord fast = run(tip_in);
    const RunRecord slow = run(tip_in, {{"manoeuvre.rise", "0.4 s"}});
    CHECK(measure(slow, "overshoot") < 0.7 * measure(fast, "overshoot"));
    CHECK(measure(slow, "jerk_peak_to_peak") < measure(fast, "jerk_peak_to_peak"));
}

TEST_CASE("a disc too short for the torque strikes its stop") {
    const RunRecord within = run(tip_in);
    const RunRecord beyond = run(tip_in, {{"disc.stages[1].drive_end", "15 deg"}});
    CHECK(measure(within, "stop_contacts") == 0.0);
    CHECK(measure(beyond, "stop_contacts") > 0.0);
    CHECK(measure(beyond, "time_at_stop") > 0.0);
}

// The torque behind the stop is set by the half shafts, which are far softer; what the stop's own
// stiffness sets is the jolt of the input shaft. From a positive torque, so that no lash speaks.
TEST_CASE("a stiffer stop jolts the input shaft harder when it is struck") {
    const auto jolt = [](const std::string& stiffness) {
        const RunRecord record = run(tip_in, {{"manoeuvre.from", "20 N m"},
                                              {"disc.stages[1].drive_end", "11 deg"},
                                              {"disc.stop_stiffness", stiffness}});
        REQUIRE(measure(record, "lash_closings") == 0.0);
        REQUIRE(measure(record, "stop_contacts") > 0.0);
        return jolt_of(record);
    };
    CHECK(jolt("640 N m/deg") > 1.1 * jolt("80 N m/deg"));
}
