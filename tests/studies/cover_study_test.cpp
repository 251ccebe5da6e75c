// SPDX-License-Identifier: MIT
#include "libdamper/studies/cover_study.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/read.hpp"

#include "tests/support/shipped.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <string>

using namespace damper;
using damper::test::Changes;

namespace {

constexpr double mm = 1e-3;

Scenario of_vehicle(const std::string& name, Changes changes = {}) {
    const std::filesystem::path root = DAMPER_SOURCE_DIR;
    Scenario scenario;
    scenario.name = name;
    scenario.vehicle = read_vehicle(root / "models" / "vehicles" / (name + ".toml"),
                                    {.models = root / "models", .changes = std::move(changes)});
    scenario.title = scenario.vehicle.title;
    return scenario;
}

CoverRecord study(const std::string& name, Changes changes = {}, CoverSettings settings = {}) {
    return study_cover(of_vehicle(name, std::move(changes)), settings);
}

double figure(const CoverRecord& record, const std::string& name) {
    const auto found = std::ranges::find(record.figures, name, &MeasureValue::name);
    REQUIRE_MESSAGE(found != record.figures.end(), "no figure " << name);
    return found->value;
}

Grade grade(const CoverRecord& record, const std::string& name) {
    const auto& judged = record.verdict.judgements;
    const auto found = std::ranges::find(judged, name, &Judgement::measure);
    REQUIRE_MESSAGE(found != judged.end(), "not judged: " << name);
    return found->grade;
}

const CoverCase& fault(const CoverRecord& record, const std::string& begins) {
    const auto found = std::ranges::find_if(
        record.cases, [&](const CoverCase& one) { return one.name.starts_with(begins); });
    REQUIRE(found != record.cases.end());
    return *found;
}

/// Cover and facings of an invented heavy truck complaint, "cannot get first gear": lever ratio 5,
/// 0.5 mm of lift lost to bending, 1.5 mm of free movement, runout counted beyond 0.5 mm.
Changes first_gear(const std::string& travel, const std::string& runout) {
    return {{"cover.pivot_radius", "203 mm"},  // (203 − 43)/(203 − 171) = 5
            {"cover.load_radius", "171 mm"},
            {"cover.rated_travel", travel},  // so that the stated loss is that of this travel
            {"cover.elastic_loss", "0.5 mm"},
            {"cover.parallelism", "0 mm"},
            {"facing.free_movement", "1.5 mm"},
            {"facing.runout", runout},
            {"facing.runout_limit", "0.5 mm"}};
}

}  // namespace

TEST_CASE("the shipped clutches hold their engines and come free, new and worn") {
    for (const char* name : {"car_petrol", "van_diesel", "medium_truck", "heavy_truck"}) {
        CAPTURE(name);
        const CoverRecord record = study(name);
        CHECK(record.verdict.grade == Grade::good);
        REQUIRE(record.states.size() == 2);
        CHECK(record.states[0].name == "new");
        CHECK(record.states[1].name == "worn");
        CHECK(record.states[1].capacity_hot > 1.05 * record.torque);
        CHECK(record.states[1].margin > 0.0);
        CHECK(record.slip_wear > record.wear_allowance);
        CHECK_FALSE(record.verdict.cautions.empty());
        for (const Judgement& one : record.verdict.judgements) CHECK_FALSE(one.source.empty());
    }
}

TEST_CASE("cannot get first gear: lift and margin of the release, by hand") {
    // 9.0/5 − 0.5 = 1.3 mm of lift; needed 1.5 + (0.9 − 0.5) = 1.9 mm: margin −0.6 mm, it drags.
    const CoverRecord dragging = study("heavy_truck", first_gear("9 mm", "0.9 mm"));
    CHECK(dragging.lever == doctest::Approx(5.0));
    CHECK(dragging.states[0].lift / mm == doctest::Approx(1.3).epsilon(1e-9));
    CHECK(dragging.states[0].margin / mm == doctest::Approx(-0.6).epsilon(1e-9));
    CHECK(grade(dragging, "release_margin_new") == Grade::bad);
    CHECK(dragging.verdict.grade == Grade::bad);
    // Bled, the bearing has 12.0 mm again: 12.0/5 − 0.5 = 1.9 mm, margin 0 with this disc …
    const CoverRecord bled = study("heavy_truck", first_gear("12 mm", "0.9 mm"));
    CHECK(bled.states[0].lift / mm == doctest::Approx(1.9).epsilon(1e-9));
    CHECK(std::abs(bled.states[0].margin) / mm < 1e-9);
    // … and +0.4 mm with a disc that runs out by 0.4 mm.
    const CoverRecord renewed = study("heavy_truck", first_gear("12 mm", "0.4 mm"));
    CHECK(renewed.states[0].margin / mm == doctest::Approx(0.4).epsilon(1e-9));
    CHECK(grade(renewed, "release_margin_new") == Grade::good);
}

TEST_CASE("the travel said to be needed sets the disc free, a little less does not") {
    const CoverRecord record = study("car_petrol");
    for (const bool enough : {true, false}) {
        const double travel = record.states[0].needed_travel + (enough ? 1e-5 : -1e-5);
        const CoverRecord again =
            study("car_petrol", {{"release.bearing_travel", std::to_string(1e3 * travel) + " mm"}});
        CHECK((again.states[0].margin > 0.0) == enough);
    }
}

TEST_CASE("wear to the slip: there the torque held is the torque asked for") {
    CoverSettings settings;
    settings.torque = 255.0;
    const CoverRecord record = study("car_petrol", {}, settings);
    REQUIRE(record.slip_wear > 0.0);
    REQUIRE(record.slip_wear < 5e-3);
    const std::string wear = std::to_string(1e3 * record.slip_wear) + " mm";
    const CoverRecord there =
        study("car_petrol", {{"facing.wear_allowance", wear}, {"facing.wear", wear}}, settings);
    CHECK(there.states.back().capacity == doctest::Approx(settings.torque).epsilon(1e-5));
    CHECK(figure(there, "wear_left") == doctest::Approx(0.0));
    // More torque than it ever holds: it slips from the first day.
    settings.torque = 500.0;
    const CoverRecord slipping = study("car_petrol", {}, settings);
    CHECK(slipping.slip_wear == 0.0);
    CHECK(slipping.verdict.grade == Grade::bad);
}

TEST_CASE("grinding the rubbing face alone acts as wear, the cover face the other way") {
    const CoverRecord plain = study("car_petrol");
    const CoverRecord deep = study("car_petrol", {{"flywheel.face_ground", "0.5 mm"}});
    const CoverRecord both = study("car_petrol", {{"flywheel.face_ground", "0.5 mm"},
                                                  {"flywheel.cover_face_ground", "0.5 mm"}});
    const CoverRecord high = study("car_petrol", {{"flywheel.cover_face_ground", "0.5 mm"}});
    CHECK(deep.states[0].deflection == doctest::Approx(plain.states[0].deflection - 0.5 * mm));
    CHECK(high.states[0].deflection == doctest::Approx(plain.states[0].deflection + 0.5 * mm));
    CHECK(both.states[0].clamp_load == doctest::Approx(plain.states[0].clamp_load));
    // Half a millimetre over two faces is a quarter of wear each.
    CHECK(deep.slip_wear == doctest::Approx(plain.slip_wear - 0.25 * mm).epsilon(1e-6));
    CHECK(high.slip_wear > plain.slip_wear);
    // What the page says about faults is what they do.
    CHECK(fault(plain, "rubbing face").clamp_load == doctest::Approx(deep.states[0].clamp_load));
    CHECK(fault(plain, "rubbing face").factor_worn * plain.torque ==
          doctest::Approx(deep.states[1].capacity));
    CHECK(fault(plain, "cover face").clamp_load == doctest::Approx(high.states[0].clamp_load));
    CHECK(fault(plain, "cover bent").margin == doctest::Approx(plain.states[0].margin - 0.25 * mm));
}

TEST_CASE("a self-adjusting cover keeps its clamp load, a load on the bearing takes some") {
    const CoverRecord record = study("car_petrol", {{"cover.wear_taken_up", "1"}});
    CHECK(record.states[1].clamp_load == doctest::Approx(record.states[0].clamp_load));
    CHECK(std::isinf(record.slip_wear));
    CHECK(record.verdict.grade == Grade::good);
    const CoverRecord held = study("car_petrol", {{"release.bearing_preload", "200 N"}});
    CHECK(held.states[0].clamp_load < record.states[0].clamp_load - 200.0 * record.lever);
    CHECK(held.states[0].clamp_load > record.states[0].clamp_load - 230.0 * record.lever);
}

TEST_CASE("two discs hold twice the torque and need twice the lift") {
    const CoverRecord one = study("heavy_truck");
    const CoverRecord two = study("heavy_truck", {{"facing.faces", "4"}});
    CHECK(two.discs == 2);
    CHECK(two.states[0].capacity == doctest::Approx(2.0 * one.states[0].capacity));
    CHECK(two.needed_lift == doctest::Approx(2.0 * one.needed_lift));
    CHECK(two.states[1].wear == one.states[1].wear);
    CHECK(one.states[0].deflection - one.states[1].deflection ==
          doctest::Approx(0.5 * (two.states[0].deflection - two.states[1].deflection)));
}

TEST_CASE("worn facings now are judged beside new and worn out") {
    const CoverRecord record = study("car_petrol", {{"facing.wear", "0.6 mm"}});
    REQUIRE(record.states.size() == 3);
    CHECK(record.states[1].name == "now");
    CHECK(figure(record, "capacity_factor_now") * record.torque ==
          doctest::Approx(record.states[1].capacity));
    CHECK(figure(record, "wear_left") == doctest::Approx(0.25 / 0.85));
    const CoverRecord end = study("car_petrol", {{"facing.wear", "0.8 mm"}});
    CHECK(grade(end, "wear_left") == Grade::watch);
}

TEST_CASE(
    "a measured curve that is the computed one deviates by nothing, a weak one by its share") {
    const CoverRecord plain = study("car_petrol");
    MeasuredTable table;
    table.file = "bench.csv";
    table.columns = {{"wear", "wear", "mm", {}}, {"load", "load", "N", {}}};
    for (const CoverWearPoint& point : plain.wear) {
        table.columns[0].values.push_back(2.0 * point.wear);  // of both faces
        table.columns[1].values.push_back(0.85 * point.clamp_load);
        table.lines.push_back(1);
    }
    CoverSettings settings;
    settings.clamp = table;
    const CoverRecord weak = study("car_petrol", {}, settings);
    REQUIRE(weak.comparisons.size() == 1);
    for (const double one : weak.comparisons[0].deviation) CHECK(one == doctest::Approx(-0.15));
    CHECK(grade(weak, "clamp_load_deviation") == Grade::watch);
    // The same cover described as set by heat agrees.
    const CoverRecord set = study("car_petrol", {{"cover.load_factor", "0.85"}}, settings);
    CHECK(std::abs(set.comparisons[0].largest) < 1e-9);
    CHECK(grade(set, "clamp_load_deviation") == Grade::good);
}

TEST_CASE("a vehicle without cover or facings is refused with what to add") {
    for (const bool cover : {true, false}) {
        Scenario scenario = of_vehicle("car_petrol");
        (cover ? void(scenario.vehicle.cover.reset()) : void(scenario.vehicle.facing.reset()));
        try {
            (void)study_cover(scenario, {});
            FAIL("was not refused");
        } catch (const InputError& error) {
            REQUIRE(error.findings().size() == 1);
            CHECK(error.findings()[0].key == (cover ? "cover" : "facing"));
            CHECK(error.findings()[0].mend.find("--set") != std::string::npos);
        }
    }
    CHECK_THROWS_AS((void)study("car_petrol", {{"cover.elastic_loss", "3 mm"}}), InputError);
    CHECK_THROWS_AS((void)study("car_petrol", {{"flywheel.face_ground", "4 mm"}}), InputError);
}
