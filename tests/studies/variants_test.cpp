// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/describe/scenario_reader.hpp"
#include "libdamper/studies/study_table.hpp"
#include "libdamper/studies/variant_study.hpp"

#include "tests/support/scratch_folder.hpp"
#include "tests/support/shipped.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <map>
#include <numbers>
#include <string>
#include <vector>

using namespace damper;
using damper::test::shipped_scenario;

namespace {

const std::filesystem::path root = DAMPER_SOURCE_DIR;

/// A short idle of the shipped car.
ReadOptions short_idle() {
    return {.models = root / "models",
            .changes = {{"manoeuvre.settle", "0.15 s"}, {"manoeuvre.length", "0.45 s"}}};
}

VariantStudy some_study(std::int64_t count, std::vector<StudyVariable> variables) {
    return {"vary", root / "scenarios/car_idle_hot.toml", short_idle(), RunSettings{},
            StudyPlan(StudyDesign::sobol, std::move(variables), count, 1)};
}

std::vector<StudyVariable> two_ranges() {
    return {read_range("disc.stages[0].stiffness=times 0.7..1.4"),
            read_range("conditions.gearbox_oil=20 degC..90 degC")};
}

std::map<std::uint64_t, VariantResult> results_of(const VariantStudy& study, std::size_t threads,
                                                  std::int64_t parts) {
    std::map<std::uint64_t, VariantResult> out;
    const StudyHead head = head_of(study);
    for (std::int64_t part = 0; part < parts; ++part) {
        run_variants(study, head, VariantSet(head.total), {part, parts}, threads,
                     [&](const VariantResult& one) { CHECK(out.emplace(one.variant, one).second); },
                     {});
    }
    return out;
}

std::string refusal(const std::function<void()>& act) {
    try {
        act();
    } catch (const InputError& refused) {
        return std::string(refused.what());
    }
    return std::string("not refused");
}

}  // namespace

TEST_CASE("ranges are read with units, factors, levels and choices") {
    const StudyVariable a = read_range("disc.stages[0].stiffness=0.3..0.9 N m/deg:4");
    CHECK(a.key.levels.size() == 4);
    const double per_rad = 180.0 / std::numbers::pi;
    CHECK(a.key.levels.front() == doctest::Approx(0.3 * per_rad).epsilon(1e-14));
    CHECK(a.key.levels.back() == doctest::Approx(0.9 * per_rad).epsilon(1e-14));
    CHECK(a.key.units == "N.m/rad");
    const StudyVariable b = read_range("gearbox.gears[*].backlash = times 0.5..3");
    CHECK(b.key.multiplies);
    CHECK(text_of(b, 1.25) == "times 1.25");
    CHECK(b.key.levels.size() == 5);
    const StudyVariable c = read_range("disc=car_soft|car_three_stage");
    CHECK(text_of(c, 1.0) == "car_three_stage");
    CHECK(refusal([] { (void)read_range("disc.damping=3"); }).find("a single value") !=
          std::string::npos);
    CHECK(refusal([] { (void)read_range("disc.damping=1 N m..2 kg"); }).find("of one kind") !=
          std::string::npos);
    CHECK(refusal([] { (void)read_range("disc.damping=2..1"); }).find("below its upper") !=
          std::string::npos);
    CHECK(refusal([] { (void)read_range("disc.damping=1..2:1"); }).find("1 levels") !=
          std::string::npos);
}

TEST_CASE("spreads are read around what the files say") {
    const Scenario car = shipped_scenario("car_idle_hot");
    const StudyVariable a = read_spread("disc.stages[0].hysteresis=normal(nominal, 10 %)", car);
    CHECK(a.key.multiplies);
    CHECK(a.distribution.mean == 1.0);
    CHECK(a.distribution.deviation == doctest::Approx(0.1));
    const StudyVariable b =
        read_spread("disc.stages[0].hysteresis=normal(nominal, 0.05 N m, 0.1, 9 N m)", car);
    CHECK(b.distribution.mean == car.vehicle.disc.stages[0].hysteresis.si());
    CHECK(b.distribution.deviation == doctest::Approx(0.05));
    CHECK(b.distribution.high == 9.0);
    const StudyVariable c = read_spread("conditions.gearbox_oil=normal(80 degC, 5 K)", car);
    CHECK(c.distribution.mean == doctest::Approx(353.15));
    CHECK(c.distribution.deviation == 5.0);
    const StudyVariable d =
        read_spread("engine.inertia=triangular(times 0.9, nominal, times 1.2)", car);
    CHECK(d.key.multiplies);
    CHECK(d.distribution.mean == 1.0);
    for (const char* wrong :
         {"conditions.gearbox_oil=normal(80 degC, 5 degC)", "engine.inertia=gauss(1, 2)",
          "engine.inertia=normal(nominal, 0 %)", "engine.inertia=normal(nominal, 3 N m)",
          "engine.inertias=normal(nominal, 1 kg m2)", "engine.inertia=uniform(nominal)"}) {
        CAPTURE(wrong);
        CHECK(refusal([&] { (void)read_spread(wrong, car); }) != "not refused");
    }
}

TEST_CASE("a value reaches the model to the last bit") {
    const StudyVariable one = read_range("disc.stages[0].stiffness=0.3..0.9 N m/deg");
    ScenarioReader reader(root / "scenarios/car_idle_hot.toml", short_idle());
    for (int i = 0; i < 200; ++i) {
        const double value = value_at(one, (i + 0.5) / 200);
        const Scenario scenario = reader.read({{one.key.key, text_of(one, value)}});
        CHECK(scenario.vehicle.disc.stages[0].stiffness.si() == value);
    }
}

TEST_CASE("a scenario read once and varied is the one that its files would give") {
    ScenarioReader reader(root / "scenarios/car_idle_hot.toml",
                          {.models = root / "models", .changes = {{"disc.damping", "times 2"}}});
    CHECK(refusal([&] {
              (void)reader.read({{"disc.stages[0].stiffness", "3 kg"}});
          }).find("disc.stages[0].stiffness") != std::string::npos);
    const Scenario varied = reader.read(
        {{"disc.stages[0].hysteresis", "times 1.5"}, {"gearbox.gears[*].backlash", "times 2"}});
    const Scenario read =
        shipped_scenario("car_idle_hot", {{"disc.damping", "times 2"},
                                          {"disc.stages[0].hysteresis", "times 1.5"},
                                          {"gearbox.gears[*].backlash", "times 2"}});
    CHECK(varied.written == read.written);
    CHECK(varied.inputs == read.inputs);
    CHECK(varied.changes == read.changes);
    // Nothing of a variant stays behind, and parts may be taken by name any number of times.
    for (int i = 0; i < 100; ++i) (void)reader.read({{"disc", "car_three_stage"}});
    CHECK(reader.read({}).written ==
          shipped_scenario("car_idle_hot", {{"disc.damping", "times 2"}}).written);
}

TEST_CASE("a grid has every combination once, the last key fastest") {
    const StudyPlan plan(StudyDesign::grid,
                         {read_range("a=1..3:3"), read_range("b=x|y"), read_range("c=0..1:4")}, 1,
                         1);
    CHECK(plan.total() == 24);
    std::vector<std::vector<double>> all;
    for (std::uint64_t v = 0; v < 24; ++v) all.push_back(plan.values(v));
    CHECK(all[0] == std::vector<double>{1, 0, 0});
    CHECK(all[1] == std::vector<double>{1, 0, 1.0 / 3.0});
    CHECK(all[23] == std::vector<double>{3, 1, 1});
    std::sort(all.begin(), all.end());
    CHECK(std::adjacent_find(all.begin(), all.end()) == all.end());
    CHECK(refusal([] {
              (void)StudyPlan(StudyDesign::grid, {read_range("a=1..3:3"), read_range("a=1..2")}, 1,
                              1);
          }).find("a is varied twice") != std::string::npos);
}

TEST_CASE("results are the same on any number of threads and in any number of parts") {
    const VariantStudy study = some_study(24, two_ranges());
    const auto alone = results_of(study, 1, 1);
    REQUIRE(alone.size() == 24);
    CHECK(results_of(study, 4, 1) == alone);
    CHECK(results_of(study, 2, 7) == alone);
    CHECK(alone.at(3).ended == VariantResult::Ended::done);
    CHECK(alone.at(3).measures.size() > 10);
    CHECK(alone.at(3).measures != alone.at(4).measures);
}

TEST_CASE("a variant that does not fit is recorded with its reason, and the others go on") {
    // The first stage ends at 7.5 degrees: a second one that ends before it is refused.
    const VariantStudy study =
        some_study(16, {read_range("disc.stages[0].drive_end=times 0.5..6")});
    const StudyHead head = head_of(study);
    StudyTable table(head);
    run_variants(study, head, VariantSet(head.total), {}, 2,
                 [&](const VariantResult& one) { table.add(one, "here"); }, {});
    StudyRecord record = table.finish();
    CHECK(record.refused > 0);
    CHECK(record.done() > 0);
    CHECK(record.refused + record.done() + record.broken == 16);
    REQUIRE_FALSE(record.failures.empty());
    CHECK(record.failures[0].why.find("drive_end") != std::string::npos);
    analyse(record, {"transfer"});
    CHECK(record.statistics.at(0).count == record.done());
}

TEST_CASE("what is there is not run again, and a stop request drops only what is under way") {
    const VariantStudy study = some_study(20, two_ranges());
    const StudyHead head = head_of(study);
    VariantSet done(head.total);
    for (const std::uint64_t v : {0U, 5U, 19U}) done.add(v);
    std::vector<std::uint64_t> seen;
    run_variants(study, head, done, {}, 2,
                 [&](const VariantResult& one) { seen.push_back(one.variant); },
                 {.report = {}, .stop_requested = [&] { return seen.size() >= 6; }});
    CHECK(seen.size() >= 6);
    CHECK(seen.size() <= 8);
    for (const std::uint64_t v : seen) CHECK_FALSE(done.holds(v));
}

TEST_CASE("a key that does not fit is said before anything runs") {
    const std::string said = refusal([] {
        (void)head_of(some_study(1000, {read_range("disc.stages[0].stifness=times 0.5..2")}));
    });
    CHECK(said.find("stifness") != std::string::npos);
    CHECK(said.find("stiffness") != std::string::npos);
}

TEST_CASE("shares beyond a limit, their cause and the figures are those that were put in") {
    StudyHead head;
    head.verb = "scatter";
    head.design = "random";
    head.asked = head.total = 2000;
    head.keys = {{"a", "", "1", false, {}, {}}, {"b", "", "1", false, {}, {}}};
    StudyMeasure one;
    one.name = "transfer";
    one.units = std::string("1");
    one.has_limit = true;
    one.good = 0.5;
    one.bad = 0.9;
    head.measures = {one};
    seal_head(head);
    StudyTable table(head);
    for (std::uint64_t v = 0; v < 2000; ++v) {
        if (v == 77) continue;  // missing
        VariantResult result;
        result.variant = v;
        // a is even over 0…1, b has nothing to do with it.
        const double a = (static_cast<double>(v) + 0.5) / 2000;
        result.values = {a, static_cast<double>(v * 7919 % 2000)};
        result.measures = {{0, a}};
        result.grades = {{0, a > 0.9 ? 2 : a > 0.5 ? 1 : 0}};
        table.add(result, "here");
        if (v == 5) table.add(result, "again");
    }
    VariantResult other;
    other.variant = 6;
    other.values = {0.0, 0.0};
    CHECK_THROWS_AS(table.add(other, "elsewhere"), InputError);
    StudyRecord record = table.finish();
    analyse(record, {});
    CHECK(record.duplicates == 1);
    CHECK(record.missing_count == 1);
    CHECK(record.missing == std::vector<std::pair<std::int64_t, std::int64_t>>{{77, 77}});
    REQUIRE(record.limits.size() == 1);
    const StudyLimit& limit = record.limits[0];
    CHECK(limit.beyond == 200);
    CHECK(limit.watch == 800);
    CHECK(limit.judged == 1999);
    CHECK(limit.low < 0.1);
    CHECK(limit.high > 0.1);
    CHECK(limit.key == "a");
    CHECK(limit.explained > 0.99);
    CHECK(limit.share_at_low == 0.0);
    CHECK(limit.share_at_high == doctest::Approx(0.5).epsilon(0.01));
    CHECK(record.any_beyond == 200);
    CHECK(record.statistics[0].median == doctest::Approx(0.5).epsilon(1e-3));
    CHECK(record.statistics[0].deviation == doctest::Approx(std::sqrt(1.0 / 12)).epsilon(2e-3));
    CHECK(record.influences[1].explained < 0.02);
}
