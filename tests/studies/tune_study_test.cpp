// SPDX-License-Identifier: MIT
#include "libdamper/studies/tune_study.hpp"

#include "libdamper/assemble/disc.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/measures/known_measures.hpp"
#include "libdamper/numerics/local_search.hpp"
#include "libdamper/studies/disc_packaging.hpp"
#include "libdamper/studies/tune_space.hpp"
#include "libdamper/studies/tune_trial.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <string>
#include <vector>

namespace damper::test {

namespace {

const std::filesystem::path source = DAMPER_SOURCE_DIR;
constexpr double degree = std::numbers::pi / 180.0;

ReadOptions read_options(std::vector<std::pair<std::string, std::string>> changes = {}) {
    return {
        .models = source / "models", .changes = std::move(changes), .measures = known_measures()};
}

TuneRequest short_idle(std::size_t threads) {
    TuneRequest request;
    request.scenarios = {source / "scenarios/van_idle_cold.toml",
                         source / "scenarios/van_idle_hot.toml"};
    request.conditions.emplace_back();
    request.read = read_options({{"manoeuvre.length", "0.15 s"}, {"manoeuvre.settle", "0.1 s"}});
    request.evaluations = 30;
    request.threads = threads;
    return request;
}

bool same(const TuneCandidate& a, const TuneCandidate& b) {
    const auto figures = [](const TuneCandidate& one) {
        std::vector<double> out = one.values;
        for (const auto& one_case : one.cases) {
            for (const TuneFigure& figure : one_case) out.push_back(figure.value);
        }
        return out;
    };
    return a.end == b.end && a.origin == b.origin && a.message == b.message &&
           figures(a) == figures(b);
}

}  // namespace

TEST_CASE("The softest idle stage that holds the drag is found where the closed form says") {
    // Above its resonance an undamped idle stage lets T = 1/((w/w1)^2 - 1) of the flywheel's swing
    // through, w1^2 = k1/J (J. P. Den Hartog, Mechanical Vibrations, section 2.12): less with a
    // softer stage. Its end torque k1·th1 has to hold s times the drag: k1 >= s·M/th1. So the best
    // stage is as long as there is room for and as soft as that allows: th1 = th_max,
    // k1 = s·M/th_max. The search knows neither; it sees discs, and that the end torque falls
    // short.
    const double drag = 5.9, in_hand = 1.25, longest = 10.0 * degree;
    const double inertia = 0.008, firing = 2.0 * 800.0 * std::numbers::pi / 30.0;
    const Scenario scenario =
        read_scenario(source / "scenarios/van_idle_cold.toml", read_options());
    const TuneSpace space(
        free_keys({"disc.stages[0].stiffness", "disc.stages[0].drive_end"}, scenario, "--free"));
    const auto score = [&](const std::vector<double>& cube) {
        const std::vector<double> values = space.values(cube);
        Disc disc = scenario.vehicle.disc;
        disc.stages[0].stiffness = Stiffness::from_si(values[0]);
        disc.stages[0].drive_end = Angle::from_si(values[1]);
        const double held = stage_corners(disc).front().drive_end_torque;
        if (held < in_hand * drag) return -1e3 * (2.0 - held / (in_hand * drag));
        return -1.0 / (firing * firing * inertia / values[0] - 1.0);
    };
    LocalSearch search;
    search.low = {0.0, 0.0};
    search.high = {1.0, 1.0};
    search.step = {0.12, 0.12};
    search.evaluations = 400;
    LocalOptimum best;
    for (const auto& start : {std::vector{0.9, 0.5}, {0.9, 0.9}, {0.7, 0.8}, {0.5, 0.95}}) {
        const LocalOptimum found = climb(search, start, score);
        if (best.evaluations == 0 || found.value > best.value) best = found;
    }
    const std::vector<double> values = space.values(best.at);
    CHECK(values[1] == doctest::Approx(longest).epsilon(0.01));
    CHECK(values[0] == doctest::Approx(in_hand * drag / longest).epsilon(0.02));
}

TEST_CASE("Stop torques, twists and spring work of a disc follow from its stages by hand") {
    // Two straight stages without preload: torque k1·a + k2·(b - a), work the areas below.
    Scenario scenario = read_scenario(source / "scenarios/van_idle_hot.toml", read_options());
    Disc& disc = scenario.vehicle.disc;
    for (DiscStage& stage : disc.stages) stage.preload = Torque{};
    const double k1 = disc.stages[0].stiffness.si(), k2 = disc.stages[1].stiffness.si();
    const double a = disc.stages[0].drive_end.si(), b = disc.stages[1].drive_end.si();
    const DiscReach reach = reach_of(disc);
    CHECK(reach.stop_torque == doctest::Approx(k1 * a + k2 * (b - a)));
    CHECK(reach.spring_work ==
          doctest::Approx(0.5 * k1 * a * a + k1 * a * (b - a) + 0.5 * k2 * (b - a) * (b - a)));
    CHECK(reach.drive_twist == doctest::Approx(b));
    DiscPackaging limits{b, reach.coast_twist, reach.stop_torque, 0.0, reach.spring_work};
    CHECK(packaging_misses(disc, limits).empty());
    limits.drive_twist = 0.8 * b;
    limits.stop_torque = 2.0 * reach.stop_torque;
    const auto misses = packaging_misses(disc, limits);
    REQUIRE(misses.size() == 2);
    CHECK(misses[0].share == doctest::Approx(0.25));
    CHECK(misses[1].share == doctest::Approx(0.5));
    disc.stages[0].stiffness = Stiffness::from_si(1.5 * k2);
    const auto turned = packaging_misses(disc, {1.0, 1.0, 0.0, 0.0, 1e6});
    CHECK(std::ranges::any_of(turned, [](const PackagingMiss& one) {
        return one.what.find("stiffness of stage 2, drive side") != std::string::npos;
    }));
}

TEST_CASE("A search does not depend on its threads, keeps its limits and tells the whole front") {
    const TuneRecord one = tune_disc(short_idle(1));
    const TuneRecord two = tune_disc(short_idle(2));
    REQUIRE(one.candidates.size() == two.candidates.size());
    CHECK(std::ranges::equal(one.candidates, two.candidates, same));
    CHECK(one.best == two.best);
    CHECK(one.front == two.front);
    CHECK(one.disc == two.disc);

    CHECK_FALSE(better(standings_of(one.candidates[0]), standings_of(one.candidates[one.best])));
    for (const TuneLimit& limit : one.limits) {
        CAPTURE(limit.what);
        CHECK((limit.at_most ? limit.tuned <= 1.001 * limit.limit
                             : limit.tuned >= 0.999 * limit.limit));
    }
    // No candidate with all figures is better than one of the front in both objectives.
    const auto standing = [&](std::size_t candidate, int objective) {
        return standing_in(one.candidates[candidate], one.objectives[objective]);
    };
    REQUIRE_FALSE(one.front.empty());
    for (const std::size_t member : one.front) {
        for (std::size_t i = 0; i < one.candidates.size(); ++i) {
            if (one.candidates[i].end != TuneCandidate::End::done) continue;
            CHECK_FALSE((worse(standing(member, 0), standing(i, 0)) &&
                         worse(standing(member, 1), standing(i, 1))));
        }
    }
    // What the file of the disc says runs to the very figures of the candidate.
    const CompareRank& first = one.comparison.ranking.front();
    const auto& best = one.candidates[one.best];
    CHECK(one.comparison.of(first.findings.front()).margin ==
          doctest::Approx(standings_of(best).front().margin));
}

TEST_CASE("What a cause does to the fitted disc is no part of the search for another") {
    const Cause cause{.name = "worn",
                      .title = "Worn",
                      .origin = "invented for this test",
                      .complaint = "",
                      .seat = "disc",
                      .changes = {{"disc.stages[0].hysteresis", "times 3"},
                                  {"conditions.gearbox_oil", "10 degC"}},
                      .signs = {}};
    TuneRequest plain = short_idle(1);
    plain.evaluations = 4;
    plain.scenarios.resize(1);
    TuneRequest worn = plain;
    plain.read.changes.push_back(cause.changes[1]);
    add_cause(cause, worn.read);
    worn.conditions = {{"worn", {cause.changes[0]}, {{0, "worn too"}}}};
    const TuneRecord a = tune_disc(plain), b = tune_disc(worn);
    REQUIRE(a.candidates.size() == b.candidates.size());
    for (std::size_t i = 0; i < a.candidates.size(); ++i) {
        CHECK(same(a.candidates[i], b.candidates[i]));
    }
    CHECK(b.causes_left_out == std::vector<std::string>{"worn", "worn too"});
}

TEST_CASE("A search that is stopped keeps what it tried; what cannot be searched is refused") {
    int asked = 0;
    const TuneRecord cut =
        tune_disc(short_idle(1), {.report = {}, .stop_requested = [&] { return ++asked > 60; }});
    CHECK(cut.stopped);
    CHECK(cut.candidates.size() >= 1);
    CHECK(cut.candidates.size() < 30);
    CHECK(cut.comparison.variants.empty());
    const auto refused = [](auto change) {
        TuneRequest request = short_idle(1);
        change(request);
        CHECK_THROWS_AS((void)tune_disc(request), InputError);
    };
    refused([](TuneRequest& one) { one.left_out = {"transfr"}; });
    refused([](TuneRequest& one) { one.front = {"van_idle_warm"}; });
    refused([](TuneRequest& one) { one.free = {"disc.stages[0].damping"}; });
    refused([](TuneRequest& one) { one.free = {"disc=car_three_stage|car_rigid_hub"}; });
    refused(
        [](TuneRequest& one) { one.scenarios.push_back(source / "scenarios/car_idle_hot.toml"); });
}

}  // namespace damper::test
