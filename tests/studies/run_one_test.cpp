// SPDX-License-Identifier: MIT
#include "libdamper/studies/run_one.hpp"

#include "libdamper/base/error.hpp"

#include "tests/support/shipped.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <filesystem>
#include <string>
#include <utility>
#include <vector>

using namespace damper;
using damper::test::Changes;
using damper::test::shipped_scenario;

namespace {

RunRecord run(const std::string& name, Changes changes, const std::string& solver = "auto") {
    return run_one(shipped_scenario(name, std::move(changes)), {.solver = solver});
}

bool warns(const RunRecord& record, const std::string& words) {
    return std::ranges::any_of(record.solver.warnings, [&](const std::string& warning) {
        return warning.find(words) != std::string::npos;
    });
}

}  // namespace

TEST_CASE("an engine that stalls ends the run there, unfinished, with the reason") {
    const RunRecord record =
        run("car_back_out_2", {{"manoeuvre.to", "-400 N m"}, {"manoeuvre.length", "5 s"}});
    CHECK_FALSE(record.solver.complete);
    CHECK(warns(record, "the engine came to rest"));
    CHECK(record.verdict.headline.starts_with("Not finished"));
    CHECK(record.verdict.grade != Grade::good);
    const auto& speed = record.signals.at("flywheel_speed").values;
    CHECK(std::ranges::all_of(speed, [](double value) { return value > 0.0; }));
    CHECK(record.signals.time.back() < 5.0);
}

TEST_CASE("a vehicle that rolls back ends the run there") {
    const RunRecord record =
        run("car_tip_in_2",
            {{"conditions.grade", "0.3"}, {"manoeuvre.to", "0 N m"}, {"manoeuvre.length", "10 s"}});
    CHECK_FALSE(record.solver.complete);
    CHECK((warns(record, "the vehicle came to rest") || warns(record, "the engine came to rest")));
}

TEST_CASE("what cannot start is the owner's business, not a fault of the program") {
    CHECK_THROWS_AS((void)run("car_tip_in_2", {{"tyre.grip", "0.001"}}), InputError);
    CHECK_THROWS_AS(
        (void)shipped_scenario("car_idle_hot", {{"engine.cylinder_gains", "[0, 0, 0, 0]"}}),
        InputError);
    CHECK_THROWS_AS(
        (void)shipped_scenario("car_idle_hot", {{"disc.stages[0].preload", "20000 N m"}}),
        InputError);
    CHECK_THROWS_AS((void)shipped_scenario("car_idle_hot", {{"recording.step", "10 ms"}}),
                    InputError);
}

TEST_CASE("a change from outside leaves the bands out and says so") {
    const RunRecord plain = run("car_idle_hot", {});
    CHECK(plain.verdict.bands.size() >= 3);
    const RunRecord changed = run("car_idle_hot", {{"conditions.gearbox_oil", "20 degC"}});
    CHECK(changed.verdict.bands.empty());
    REQUIRE_FALSE(changed.verdict.reasons.empty());
    CHECK(changed.verdict.reasons.back().find("bands") != std::string::npos);
}

TEST_CASE("exact and general solver measure the same quiet idle") {
    const RunRecord general = run("car_idle_cold", {});
    const RunRecord exact = run("car_idle_cold", {}, "exact");
    REQUIRE(exact.solver.complete);
    CHECK(exact.energy.residual() < 1e-9);
    for (const MeasureValue& measure : general.measures) {
        const auto same = std::ranges::find(exact.measures, measure.name, &MeasureValue::name);
        REQUIRE(same != exact.measures.end());
        CAPTURE(measure.name);
        // Both solve the same equations; what is left is the tolerance of the general one.
        CHECK(std::abs(same->value - measure.value) <= 1e-4 * std::abs(measure.value) + 1e-6);
    }
}

TEST_CASE("an unknown solver is named, and the exact one takes a change of torque") {
    CHECK_THROWS_AS((void)run("car_idle_hot", {}, "magic"), InputError);
    const RunRecord record = run("car_tip_in_2", {}, "exact");
    CHECK(record.solver.complete);
    CHECK(record.energy.residual() < 1e-9);
}
