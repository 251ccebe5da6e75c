// SPDX-License-Identifier: MIT
#include "libdamper/measures/stage_use.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>

using namespace damper;

namespace {

constexpr double pi = std::numbers::pi;

const std::vector<RunFacts::Stage> three = {{"idle", 0.10, -0.08, 30.0, 3.0, -2.4},
                                            {"middle", 0.20, -0.08, 200.0, 23.0, -2.4},
                                            {"main", 0.35, -0.25, 950.0, 165.0, -164.0}};

std::vector<double> sine(double mean, double swing, double step, double length) {
    std::vector<double> values;
    const auto count = static_cast<std::size_t>(std::llround(length / step)) + 1;
    for (std::size_t i = 0; i < count; ++i) {
        values.push_back(mean + swing * std::sin(2.0 * pi * step * static_cast<double>(i)));
    }
    return values;
}

const StageUse& of(const std::vector<StageUse>& use, const std::string& name) {
    for (const StageUse& one : use) {
        if (one.stage == name) return one;
    }
    FAIL("no stage ", name);
    return use.front();
}

}  // namespace

TEST_CASE("the ranges run from stop to stop without gaps, and a stage without travel is left out") {
    const auto ranges = twist_ranges(three);
    REQUIRE(ranges.size() == 6);
    CHECK(ranges[0].name == "coast stop");
    CHECK(ranges[1].name == "main (coast)");
    CHECK(ranges[2].name == "idle");
    CHECK(ranges[2].first);
    CHECK(ranges[3].name == "middle");
    CHECK(ranges[4].name == "main");
    CHECK(ranges[5].name == "drive stop");
    for (std::size_t i = 1; i < ranges.size(); ++i) CHECK(ranges[i].low == ranges[i - 1].high);
    CHECK(ranges[0].stage == 2);
    CHECK(ranges[1].stage == 2);
    CHECK(ranges[2].stage == 0);
    CHECK(ranges[3].stage == 1);
    CHECK(ranges[5].stage == 2);
    CHECK(twist_ranges({}).empty());
}

TEST_CASE("shares of a sine are those of the arc sine, and add up to one") {
    const auto ranges = twist_ranges(three);
    const auto use = stage_use(ranges, sine(0.0, 0.15, 1e-3, 10.0), 1e-3);
    const double drive = 0.5 - std::asin(0.10 / 0.15) / pi;  // of a period above 0.10
    const double coast = 0.5 - std::asin(0.08 / 0.15) / pi;
    CHECK(of(use, "middle").share == doctest::Approx(drive).epsilon(1e-3));
    CHECK(of(use, "main (coast)").share == doctest::Approx(coast).epsilon(1e-3));
    CHECK(of(use, "idle").share == doctest::Approx(1.0 - drive - coast).epsilon(1e-3));
    double sum = 0.0;
    for (const StageUse& one : use) sum += one.share;
    CHECK(sum == doctest::Approx(1.0));
    CHECK(of(use, "drive stop").share == 0.0);
}

TEST_CASE("entries count every corner passed: a sine enters each outer stage once a period") {
    const auto ranges = twist_ranges(three);
    const auto use = stage_use(ranges, sine(0.0, 0.15, 1e-3, 10.0), 1e-3);
    CHECK(of(use, "middle").entries == doctest::Approx(1.0));
    CHECK(of(use, "main (coast)").entries == doctest::Approx(1.0));
    CHECK(of(use, "idle").entries == doctest::Approx(2.0));
    CHECK(of(use, "main").entries == 0.0);
}

TEST_CASE("a jump over several stages enters all of them, in both directions") {
    const auto ranges = twist_ranges(three);
    const auto use = stage_use(ranges, std::vector<double>{0.0, 0.5, 0.0}, 0.5);
    CHECK(of(use, "middle").entries == doctest::Approx(2.0));
    CHECK(of(use, "main").entries == doctest::Approx(2.0));
    CHECK(of(use, "drive stop").entries == doctest::Approx(1.0));
    CHECK(of(use, "middle").share == doctest::Approx(0.2));
    CHECK(of(use, "main").share == doctest::Approx(0.3));
    CHECK(of(use, "drive stop").share == doctest::Approx(0.3));
}

TEST_CASE("finer sampling of a straight course changes nothing") {
    const auto ranges = twist_ranges(three);
    const auto ramp = [](std::size_t count) {
        std::vector<double> values;
        for (std::size_t i = 0; i <= count; ++i) {
            values.push_back(-0.4 + 0.9 * static_cast<double>(i) / static_cast<double>(count));
        }
        return values;
    };
    const auto coarse = stage_use(ranges, ramp(2), 0.5);
    const auto fine = stage_use(ranges, ramp(1000), 1e-3);
    for (std::size_t i = 0; i < coarse.size(); ++i) {
        CAPTURE(coarse[i].stage);
        CHECK(coarse[i].share == doctest::Approx(fine[i].share));
        CHECK(coarse[i].entries == doctest::Approx(fine[i].entries));
    }
}

TEST_CASE("an idle stage is a soft first of several stages") {
    RunFacts facts;
    facts.engine_peak_torque = 200.0;
    facts.stages = three;
    CHECK(has_idle_stage(facts));
    facts.stages.front().torque_at_drive_end = 60.0;
    CHECK_FALSE(has_idle_stage(facts));
    facts.stages = {three[2]};
    CHECK_FALSE(has_idle_stage(facts));
}
