// SPDX-License-Identifier: MIT
#include "libdamper/studies/compare_study.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/read_cause.hpp"
#include "libdamper/studies/complaint_run.hpp"
#include "libdamper/studies/diagnose.hpp"
#include "libdamper/studies/discs_of_class.hpp"
#include "libdamper/studies/ready_run.hpp"
#include "libdamper/studies/run_one.hpp"

#include "tests/support/shipped.hpp"

#include <algorithm>
#include <doctest/doctest.h>
#include <filesystem>
#include <string>
#include <vector>

using namespace damper;

namespace {

const std::filesystem::path root = DAMPER_SOURCE_DIR;

/// "less is better": good up to 1, bad above 2.
Judgement judged(const std::string& measure, double value) {
    Judgement one;
    one.measure = measure;
    one.units = "1";
    one.value = value;
    one.good = 1.0;
    one.bad = 2.0;
    one.grade = value <= 1.0 ? Grade::good : value <= 2.0 ? Grade::watch : Grade::bad;
    one.margin = 1.0 - value;
    return one;
}

/// One scenario, one condition; the values of each option.
CompareRecord record_of(const std::vector<std::vector<double>>& values) {
    CompareRecord record;
    record.scenarios = {{"s", "S", "V"}};
    record.conditions = {{}};
    for (std::size_t o = 0; o < values.size(); ++o) {
        record.options.push_back({std::string(1, static_cast<char>('a' + o)), {}, o == 0, {}});
        CompareVariant variant;
        variant.option = o;
        variant.end = CompareVariant::End::done;
        for (std::size_t m = 0; m < values[o].size(); ++m) {
            variant.judgements.push_back(
                judged(std::string("m") + static_cast<char>('0' + m), values[o][m]));
        }
        record.variants.push_back(variant);
    }
    rank_options(record);
    return record;
}

std::string order_of(const CompareRecord& record) {
    std::string out;
    for (const CompareRank& rank : record.ranking) out += record.options[rank.option].name;
    return out;
}

CompareRequest request(const std::vector<std::string>& scenarios) {
    CompareRequest out;
    for (const std::string& name : scenarios) {
        out.scenarios.push_back(root / "scenarios" / (name + ".toml"));
    }
    out.read.models = root / "models";
    out.conditions = {{}};
    return out;
}

CompareOption disc(const std::string& name) {
    return {name, {{"disc", name}}, false, {}};
}

}  // namespace

TEST_CASE("a limit missed is worse than any margin in hand elsewhere") {
    CHECK(order_of(record_of({{2.01, 0.0, 0.0}, {1.9, 1.9, 1.9}})) == "ba");
    CHECK(order_of(record_of({{1.01, 0.0}, {0.99, 0.99}})) == "ba");
}

TEST_CASE("the worst margin decides, then the next worst") {
    CHECK(order_of(record_of({{0.5, 0.9}, {0.6, 0.8}})) == "ba");
    CHECK(order_of(record_of({{0.9, 0.5}, {0.9, 0.4}, {0.9, 0.6}})) == "bac");
    // Less than a hundredth apart is the same to a workshop.
    CHECK(order_of(record_of({{0.901, 0.5}, {0.903, 0.1}})) == "ba");
}

TEST_CASE("an option without all its results comes last, however good the rest") {
    CompareRecord record = record_of({{0.1}, {3.0}});
    record.variants[0].end = CompareVariant::End::unsolved;
    rank_options(record);
    CHECK(order_of(record) == "ba");
    CHECK_FALSE(record.ranking[1].complete);
}

TEST_CASE("what is lost and gained is told against the fitted one, limits crossed first") {
    const CompareRecord record = record_of({{0.5, 0.9, 0.5, 0.5}, {0.95, 1.2, 0.2, 0.52}});
    const CompareRank& other = record.ranking[1];
    CHECK(record.options[other.option].name == "b");
    REQUIRE(other.losses.size() == 2);
    CHECK(record.of(other.losses[0].here).measure == "m1");  // crosses its limit
    CHECK(record.of(other.losses[1].here).measure == "m0");
    CHECK(other.losses[1].gain == doctest::Approx(-0.45));
    REQUIRE(other.gains.size() == 1);
    CHECK(record.of(other.gains[0].here).measure == "m2");
    CHECK(record.ranking[0].losses.empty());
    CHECK(other.watched == 1);
    CHECK(other.missed == 0);
}

TEST_CASE("a variant is what a run of its own gives") {
    CompareRequest asked = request({"car_idle_hot", "car_tip_in_2"});
    asked.options = {disc("car_firm_short_idle")};
    asked.conditions = {{"cold", {{"conditions.gearbox_oil", "20 degC"}}}, {"new", {}}};
    const CompareRecord record = compare_discs(asked);
    REQUIRE(record.options.size() == 2);
    CHECK(record.options[0].fitted);
    REQUIRE(record.variants.size() == 8);
    const CompareVariant& one = record.at(1, 1, 0);
    CHECK(one.end == CompareVariant::End::done);
    const RunRecord alone =
        run_one(test::shipped_scenario("car_tip_in_2", {{"disc", "car_firm_short_idle"},
                                                        {"conditions.gearbox_oil", "20 degC"}}),
                {});
    REQUIRE(one.measures.size() == alone.measures.size());
    for (std::size_t i = 0; i < alone.measures.size(); ++i) {
        CHECK(one.measures[i].value == alone.measures[i].value);
    }
    REQUIRE(one.judgements.size() == alone.verdict.judgements.size());
    CHECK(one.grade == alone.verdict.grade);
    CHECK_FALSE(record.options[1].loop.twist.empty());
}

TEST_CASE("the fitted disc is not compared with itself under another name") {
    CompareRequest asked = request({"car_idle_hot"});
    asked.options = {disc("car_soft_long_idle"), disc("car_three_stage")};
    const CompareRecord record = compare_discs(asked);
    REQUIRE(record.options.size() == 2);
    CHECK(record.options[0].name == "car_soft_long_idle");
    CHECK(record.options[0].fitted);
    // With a value inside it changed it is another disc.
    asked.scenarios = {root / "scenarios/car_idle_worn_friction.toml"};
    CHECK(compare_discs(asked).options.size() == 3);
}

TEST_CASE("what a cause does to the disc stays in the fitted one, the rest of it in the vehicle") {
    const Cause cause{.name = "both",
                      .title = "Both",
                      .origin = "invented for this test",
                      .complaint = "",
                      .seat = "disc",
                      .changes = {{"disc.stages[0].hysteresis", "times 6"},
                                  {"engine.cylinder_gains", "[1, 0.7, 1, 1]"}},
                      .signs = {}};
    const test::Changes length{{"manoeuvre.length", "0.7 s"}};
    CompareRequest asked = request({"car_idle_hot"});
    asked.read.changes = length;
    // A sound disc of the fitted kind is another one than the fitted one with its cause.
    asked.options = {disc("car_soft_long_idle"),
                     {"softer", {{"disc.stages[0].stiffness", "times 0.8"}}, false, {}}};
    const auto worst = [](const CompareVariant& one, const char* measure) {
        const auto found = std::ranges::find(one.measures, measure, &MeasureValue::name);
        REQUIRE(found != one.measures.end());
        return found->value;
    };
    const auto alone = [&](test::Changes more) {
        more.insert(more.begin(), length.begin(), length.end());
        const RunRecord run = run_one(test::shipped_scenario("car_idle_hot", std::move(more)), {});
        return std::ranges::find(run.measures, "transfer", &MeasureValue::name)->value;
    };
    const double with_all = alone({cause.changes[0], cause.changes[1]});
    const double sound_disc = alone({cause.changes[1]});
    REQUIRE(with_all > 1.2 * sound_disc);
    CompareRequest for_all = asked;
    add_cause(cause, for_all.read);
    CompareRequest in_one = asked;
    in_one.conditions = {{"worn", cause.changes, {{0, cause.name}}}};
    for (const CompareRequest& one : {for_all, in_one}) {
        const CompareRecord record = compare_discs(one);
        REQUIRE(record.options.size() == 3);
        CHECK(record.options[0].name == "as fitted");
        CHECK(record.options[0].fitted);
        CHECK(worst(record.at(0, 0, 0), "transfer") == with_all);
        CHECK(worst(record.at(1, 0, 0), "transfer") == sound_disc);
        CHECK(worst(record.at(2, 0, 0), "transfer") != sound_disc);  // the fitted one, changed
        REQUIRE(record.of_fitted.size() == 1);
        CHECK(record.of_fitted[0].first == "both");
    }
    // Keys that are asked for as such change every disc.
    in_one.conditions = {{"all", cause.changes}};
    CHECK(worst(compare_discs(in_one).at(0, 0, 0), "transfer") == with_all);
}

TEST_CASE("facings go with the disc where they are its fault, a shaft out of line does not") {
    const auto with_disc = [](const std::string& name) {
        const Cause cause = read_cause(root / "models/causes" / (name + ".toml"));
        return std::ranges::all_of(
            cause.changes, [&](const auto& one) { return goes_with_disc(cause, one.first); });
    };
    for (const char* name : {"idle_friction_stuck", "worn_out", "disc_bent", "facing_glazed",
                             "no_idle_stage_fitted", "main_springs_broken"}) {
        CHECK_MESSAGE(with_disc(name), name);
    }
    for (const char* name : {"gearbox_out_of_line", "weak_cylinder", "diaphragm_set",
                             "two_mass_flywheel_made_solid"}) {
        CHECK_FALSE_MESSAGE(with_disc(name), name);
    }
}

TEST_CASE("a solid flywheel is offered no disc that is made for behind a two-mass one") {
    const std::filesystem::path models = root / "models";
    CHECK(
        discs_of_class(models, "light van", false) ==
        std::vector<std::string>{"van_firm_short_idle", "van_no_idle_stage", "van_soft_long_idle"});
    // Any disc turns behind a two-mass flywheel, and is needed where one was made solid.
    CHECK(discs_of_class(models, "light van", true).size() == 4);
    CHECK(discs_of_class(models, "car", true).size() ==
          discs_of_class(models, "car", false).size() + 1);
}

TEST_CASE("a complaint is run with its own vehicle's scenario, else the vehicle is exchanged") {
    const Knowledge known = read_knowledge(root / "models");
    VehiclesAsked asked;
    asked.models = root / "models";
    asked.scenarios = root / "scenarios";
    const auto run = [&](const char* symptom, const char* vehicle, const char* vehicle_class) {
        asked.vehicle = vehicle;
        asked.vehicle_class = vehicle_class;
        return *run_of_vehicle(*known.find(symptom), asked);
    };
    CHECK(run("clunk", "van_diesel", "light van").scenario == "van_tip_in_2");
    CHECK(command_of(run("clunk", "van_diesel", "light van"), asked) == "damper run van_tip_in_2");
    CHECK(run("clunk", "van_two_mass", "light van").scenario == "van_two_mass_tip_in_2");
    CHECK(run("boom", "van_two_mass", "light van").scenario == "van_two_mass_pull_4");
    // A tip-in to another torque is another manoeuvre.
    asked.changes = {{"conditions.gearbox_oil", "20 degC"}};
    CHECK(command_of(run("shuffle", "car_petrol", "car"), asked) ==
          "damper run car_on_mounts_tip_in_2 --set vehicle=car_petrol --set "
          "'conditions.gearbox_oil=20 degC'");
    CHECK(command_of(run("slip", "car_two_mass", "car"), asked) ==
          "damper cover car_two_mass --set 'conditions.gearbox_oil=20 degC'");
    CHECK(
        state_in_words(test::shipped_scenario("van_tip_in_2")) ==
        "in gear 2 at 1500 rpm, pedal pressed: engine torque from -20 N m to 200 N m, gearbox oil "
        "at 80 °C");
}

TEST_CASE("what one variant cannot be stays with it, and threads change nothing") {
    CompareRequest asked = request({"car_idle_hot"});
    asked.options = {disc("car_no_idle_stage"), disc("no_such_disc")};
    asked.conditions = {{"second stage", {{"disc.stages[1].stiffness", "times 0.9"}}}};
    asked.threads = 1;
    const CompareRecord one = compare_discs(asked);
    asked.threads = 3;
    const CompareRecord three = compare_discs(asked);
    CHECK(one.at(0, 0, 0).end == CompareVariant::End::done);
    CHECK(one.at(1, 0, 0).end == CompareVariant::End::bad_input);
    CHECK(one.at(2, 0, 0).end == CompareVariant::End::bad_input);
    CHECK(one.at(2, 0, 0).message.find("no_such_disc") != std::string::npos);
    for (std::size_t v = 0; v < one.variants.size(); ++v) {
        CHECK(one.variants[v].message == three.variants[v].message);
        REQUIRE(one.variants[v].measures.size() == three.variants[v].measures.size());
        for (std::size_t m = 0; m < one.variants[v].measures.size(); ++m) {
            CHECK(one.variants[v].measures[m].value == three.variants[v].measures[m].value);
        }
    }
}

TEST_CASE("a scenario that cannot be read, or two of one name, are refused") {
    CHECK_THROWS_AS((void)compare_discs(request({"no_such_scenario"})), InputError);
    CHECK_THROWS_AS((void)compare_discs(request({"car_idle_hot", "car_idle_hot"})), InputError);
}
