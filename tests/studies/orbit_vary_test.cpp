// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/describe/scenario_reader.hpp"
#include "libdamper/studies/orbit_study.hpp"

#include "tests/support/near.hpp"
#include "tests/support/shipped.hpp"

#include <doctest/doctest.h>
#include <filesystem>
#include <fmt/format.h>
#include <numbers>
#include <string>

using namespace damper;
using namespace damper::test;

namespace {

constexpr double rpm = std::numbers::pi / 30.0;
std::filesystem::path models() {
    return std::filesystem::path(DAMPER_SOURCE_DIR) / "models";
}

std::filesystem::path scenario_file(const std::string& name) {
    return std::filesystem::path(DAMPER_SOURCE_DIR) / "scenarios" / (name + ".toml");
}

}  // namespace

TEST_CASE("a curve over a stiffness folds where a curve over engine speed says it does") {
    // Both are cuts through one surface of motions: where the cut at 3800 rpm folds at a factor on
    // the stiffness, the cut at that factor folds at 3800 rpm.
    ScenarioReader reader(scenario_file("car_idle_cold_three_stage"),
                          {.models = models(), .changes = {}});
    const auto corner = [&](double factor) {
        return reader.read({{"disc.stages[1].stiffness", fmt::format("times {}", factor)}});
    };
    // 9 % of the peak torque in gear 1 lies at the corner between the middle and the main stage.
    OrbitRequest request{.curve = OperatingCurve::pull, .gear = "1", .load = 0.09};
    const VariedCourse course({.key = "disc.stages[1].stiffness",
                               .units = "1",
                               .multiplies = true,
                               .from = 1.0,
                               .to = 0.85,
                               .speed = 3800.0 * rpm,
                               .scenario_at = corner},
                              request);
    // From what an exact run settles to at the first value.
    const auto curve_of = [](const OrbitCourse& on, double from, double to) {
        PeriodicProblem held = on.at(from);
        const PeriodicMotion steady = steady_motion(held, 24);
        const TimeProblem time = time_problem(held, steady);
        held.line = time.line;
        SettledMotion settled = settled_motion(held, time.start, 60, 24);
        REQUIRE(settled.why_not.empty());
        PeriodicMotion& first = settled.motion;
        first.unknowns(static_cast<Eigen::Index>(held.lead) * first.basis.size()) = steady.balance;
        return follow_orbits([&](double at) { return on.at(at); }, first,
                             {.from = from, .to = to, .most_points = 40});
    };
    // The upper motion reaches down to the fold, past the lower one, and turns back there.
    const OrbitCurve over_stiffness = curve_of(course, 1.12, 0.88);
    CAPTURE(over_stiffness.why_not);
    REQUIRE(!over_stiffness.folds.empty());
    const double factor = over_stiffness.folds.front().parameter;
    CHECK(factor > 0.88);
    CHECK(factor < 1.0);
    for (const CurvePoint& point : over_stiffness.points) {
        CHECK(course.engine_speed(point.parameter) == 3800.0 * rpm);
    }
    request.from = 3700.0 * rpm;
    request.to = 4100.0 * rpm;
    const OrbitFamily speeds(corner(factor), request);
    const OrbitCurve over_speed = curve_of(speeds, 4100.0 * rpm, 3700.0 * rpm);
    CAPTURE(over_speed.why_not);
    REQUIRE(!over_speed.folds.empty());
    // The parabola through three points next to a fold is good to some 1e-4.
    CHECK(over_speed.folds.front().parameter == near(3800.0 * rpm, 5e-4));
}

TEST_CASE("a curve over a key goes through the motions that each value has by itself") {
    OrbitStudySettings settings;
    settings.request.curve = OperatingCurve::neutral;
    settings.stability = false;
    const auto at = [](double factor) {
        return shipped_scenario("car_idle_hot",
                                {{"disc.stages[0].stiffness", fmt::format("times {}", factor)}});
    };
    settings.vary = OrbitVary{.key = "disc.stages[0].stiffness",
                              .units = "1",
                              .multiplies = true,
                              .from = 0.8,
                              .to = 1.6,
                              .speed = 800.0 * rpm,
                              .scenario_at = at};
    const OrbitRecord curve = find_orbits(at(1.0), settings);
    REQUIRE(curve.complete);
    settings.vary.reset();
    settings.request.from = 780.0 * rpm;
    settings.request.to = 800.0 * rpm;  // where the curve begins
    for (const std::size_t k : {std::size_t{0}, curve.points.size() / 2, curve.points.size() - 1}) {
        const OrbitPoint& point = curve.points[k];
        CAPTURE(point.parameter);
        const OrbitRecord alone = find_orbits(at(point.parameter), settings);
        REQUIRE(!alone.points.empty());
        REQUIRE(alone.points[0].engine_speed == near(800.0 * rpm, 1e-12));
        // As the harmonics left out allow: 1e-3 of the swing.
        CHECK(point.amplitude[1][0] == near(alone.points[0].amplitude[1][0], 1e-3));
    }
    CHECK(curve.points.front().amplitude[1][0] > 1.2 * curve.points.back().amplitude[1][0]);
}

TEST_CASE("a value that takes an element out of the driveline is refused") {
    OrbitStudySettings settings;
    settings.vary = OrbitVary{
        .key = "disc.stages[0].hysteresis",
        .units = "N.m",
        .from = 0.0,
        .to = 1.0,
        .speed = 800.0 * rpm,
        .scenario_at = [](double value) {
            return shipped_scenario("car_idle_hot",
                                    {{"disc.stages[0].hysteresis", fmt::format("{} N m", value)}});
        }};
    CHECK_THROWS_AS((void)find_orbits(shipped_scenario("car_idle_hot"), settings), InputError);
}
