// SPDX-License-Identifier: MIT
#include "libdamper/measures/block_roll.hpp"
#include "libdamper/measures/flywheel_twist.hpp"

#include "tests/measures/synthetic.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <limits>
#include <numbers>

using namespace damper;
using namespace damper::synthetic;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double step = 1e-3;

/// A free angle of ±0.05, then arc springs to 0.5 on the drive and −0.4 on the coast side.
RunFacts with_flywheel(const char* manoeuvre) {
    RunFacts facts;
    facts.manoeuvre = manoeuvre;
    facts.flywheel_stages = {{"free", 0.05, -0.05, 0.0, 0.0, 0.0},
                             {"arc", 0.5, -0.4, 200.0, 90.0, -70.0}};
    return facts;
}

Measured swinging(const RunFacts& facts, double swing) {
    FlywheelTwist measure(facts.flywheel_stages);
    for (int i = 0; i <= 4000; ++i) {
        const double t = step * i;
        RunSample sample{.time = t};
        sample.flywheel_speed = 80.0 - 10.0 * t;
        sample.flywheel_twist = swing * std::sin(2.0 * pi * t + 0.1);
        measure.add(sample);
    }
    Measured measured;
    measure.tell(facts, step, measured);
    return measured;
}

}  // namespace

TEST_CASE("a sine of the flywheel's twist spends in the free angle what the arc sine says") {
    const Measured measured = swinging(with_flywheel("idle"), 0.2);
    check_known(measured);
    CHECK(value(measured, "flywheel_twist_max") == doctest::Approx(0.2).epsilon(1e-5));
    CHECK(value(measured, "flywheel_twist_min") == doctest::Approx(-0.2).epsilon(1e-5));
    CHECK(value(measured, "flywheel_time_free") ==
          doctest::Approx(2.0 / pi * std::asin(0.05 / 0.2)).epsilon(1e-3));
    CHECK(value(measured, "flywheel_stop_contacts") == 0.0);
    CHECK(find(measured, "passage_flywheel_twist") == nullptr);
    REQUIRE(measured.stage_use.size() == 5);
    CHECK(measured.stage_use[2].stage == "two-mass flywheel, free");
}

TEST_CASE("each run onto a stop of the flywheel counts once, and the passage knows its speed") {
    // Four periods of 1 s; only the coast stop at −0.4 is passed: four contacts.
    const Measured measured = swinging(with_flywheel("engine stop"), 0.45);
    check_known(measured);
    CHECK(value(measured, "flywheel_stop_contacts") == doctest::Approx(4.0));
    CHECK(value(measured, "flywheel_time_at_stop") ==
          doctest::Approx(0.5 - std::asin(0.4 / 0.45) / pi).epsilon(2e-3));
    CHECK(value(measured, "passage_flywheel_twist") == doctest::Approx(0.45).epsilon(1e-5));
    CHECK(value(measured, "passage_flywheel_twist_speed") > 39.0);
}

TEST_CASE("without a two-mass flywheel nothing is told of it") {
    RunFacts facts;
    facts.manoeuvre = "idle";
    CHECK(swinging(facts, 0.2).measures.empty());
}

TEST_CASE("the roll has the rms of its sine about its mean and counts contacts with the stops") {
    RunFacts facts;
    facts.on_mounts = true;
    facts.roll_drive_stop = 0.06;
    facts.roll_coast_stop = -std::numeric_limits<double>::infinity();
    BlockRoll roll(facts);
    for (int i = 0; i < 3000; ++i) roll.add(0.04 + 0.03 * std::sin(2.0 * pi * step * i));
    Measured measured;
    roll.tell(step, measured);
    check_known(measured);
    CHECK(value(measured, "roll_mean") == doctest::Approx(0.04).epsilon(1e-6));
    CHECK(value(measured, "roll_rms") == doctest::Approx(0.03 / std::sqrt(2.0)).epsilon(1e-6));
    CHECK(value(measured, "roll_peak_to_peak") == doctest::Approx(0.06).epsilon(1e-4));
    CHECK(value(measured, "roll_stop_contacts") == 3.0);
    CHECK(value(measured, "roll_time_at_stop") ==
          doctest::Approx(0.5 - std::asin(2.0 / 3.0) / pi).epsilon(5e-3));
    Measured none;
    BlockRoll().tell(step, none);
    CHECK(none.measures.empty());
}
