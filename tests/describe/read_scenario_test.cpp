// SPDX-License-Identifier: MIT
#include "libdamper/base/digest.hpp"
#include "libdamper/describe/read.hpp"

#include "tests/support/samples.hpp"

#include <algorithm>
#include <doctest/doctest.h>
#include <filesystem>
#include <numbers>
#include <set>
#include <string>
#include <variant>
#include <vector>

using namespace damper;
using damper::testing::findings_of;
using damper::testing::samples;
using damper::testing::ScratchFolder;

namespace {

constexpr double per_degree = 180.0 / std::numbers::pi;
using Changes = std::vector<std::pair<std::string, std::string>>;

ReadOptions with(Changes changes = {}) {
    return {samples() / "models", std::move(changes)};
}

Scenario sample(const std::string& name, Changes changes = {}) {
    return read_scenario(samples() / "scenarios" / (name + ".toml"), with(std::move(changes)));
}

std::vector<Finding> refused(const std::string& name, Changes changes) {
    return findings_of([&] { (void)sample(name, std::move(changes)); });
}

bool ends_with(const std::string& text, const std::string& end) {
    return text.ends_with(end);
}

}  // namespace

TEST_CASE("a scenario reads with its vehicle and all parts") {
    const Scenario scenario = sample("tip_in");
    CHECK(scenario.name == "tip_in");
    CHECK(scenario.title == "Sample: tip in, second gear");
    CHECK(scenario.vehicle.title == "Sample car");
    CHECK(scenario.vehicle.vehicle_class == "car");
    CHECK(scenario.vehicle.engine.firing_order == std::vector<int>{1, 3, 4, 2});
    CHECK(scenario.vehicle.engine.reciprocating_mass.si() == doctest::Approx(0.5));
    CHECK(scenario.vehicle.engine.combustion.intake_pressure.si() == doctest::Approx(35e3));
    REQUIRE(scenario.vehicle.disc.stages.size() == 2);
    CHECK(scenario.vehicle.disc.stages[1].stiffness.si() == doctest::Approx(18.0 * per_degree));
    CHECK(scenario.vehicle.disc.stages[1].springs == 6);
    CHECK(scenario.vehicle.gearbox.gears[1].loose_on == "input shaft");
    CHECK(scenario.vehicle.gearbox.oil.title == "Sample oil, thin");
    CHECK(scenario.vehicle.tyre.rolling_resistance.si() == doctest::Approx(0.011));
    const auto& tip_in = std::get<TipIn>(scenario.manoeuvre);
    CHECK(tip_in.gear == "2");
    CHECK(tip_in.to.si() == 150.0);
}

TEST_CASE("what is left out gets its default") {
    const Scenario scenario = sample("tip_in");
    const auto& tip_in = std::get<TipIn>(scenario.manoeuvre);
    CHECK(tip_in.start.si() == 0.5);
    CHECK(tip_in.rise.si() == doctest::Approx(0.1));
    CHECK(tip_in.lag.si() == doctest::Approx(0.05));
    CHECK(tip_in.length.si() == 2.5);
    CHECK(scenario.conditions.gearbox_oil.si() == doctest::Approx(353.15));
    CHECK(scenario.conditions.grade.si() == 0.0);
    CHECK(scenario.recording.step.si() == doctest::Approx(50e-6));
    CHECK(scenario.vehicle.disc.friction_grip.si() == 50.0);
    CHECK(scenario.vehicle.disc.assembly == "lumped");
    CHECK(scenario.vehicle.disc.stages[0].friction_factor.si() == 1.0);
    CHECK(scenario.vehicle.disc.stages[0].springs == 0);
    CHECK(scenario.vehicle.axle.propshaft_stiffness.si() == 0.0);
    CHECK(scenario.vehicle.engine.firing_intervals.empty());
    CHECK(scenario.vehicle.engine.combustion.completeness.si() == doctest::Approx(6.9));
    CHECK(scenario.provenance.at("manoeuvre.lag") == "built-in default");
    const Scenario idle = sample("idle");
    CHECK(std::get<Idle>(idle.manoeuvre).pedal == "up");
    CHECK(std::get<Idle>(idle.manoeuvre).speed.si() == 0.0);
    CHECK(std::get<Idle>(idle.manoeuvre).settle.si() == 0.5);
}

TEST_CASE("[change] alters single values and replaces whole parts, quoted or not") {
    const Scenario idle = sample("idle");
    CHECK(idle.vehicle.disc.stages[0].stiffness.si() == doctest::Approx(1.2 * per_degree));
    CHECK(idle.vehicle.gearbox.oil.title == "Sample oil, thick");
    const Scenario other = sample("back_out_three");
    CHECK(other.vehicle.engine.cylinders == 3);
    CHECK(other.vehicle.engine.harmonics.size() == 2);
    CHECK(other.vehicle.engine.cylinder_gains[1].si() == doctest::Approx(0.95));
    CHECK(other.vehicle.disc.friction_grip.si() == 40.0);
    CHECK(other.vehicle.disc.stages.size() == 2);
}

TEST_CASE("bands keep their bounds in SI with their dimension") {
    const Scenario idle = sample("idle");
    REQUIRE(idle.bands.size() == 1);
    CHECK(idle.bands[0].measure == "speed_fluctuation");
    CHECK(idle.bands[0].low == 0.0);
    CHECK(idle.bands[0].high == doctest::Approx(2.0 * std::numbers::pi));
    CHECK(idle.bands[0].dimension == AngularSpeed::dimension);
    CHECK(idle.bands[0].source == "common practice, no source");
}

TEST_CASE("a change from the command line is remembered, since bands belong to the file") {
    CHECK_FALSE(sample("idle").changed_from_outside);
    CHECK(sample("idle", {{"conditions.gearbox_oil", "20 degC"}}).changed_from_outside);
    CHECK_FALSE(
        sample("idle", {{"expect.speed_fluctuation.source", "\"mine\""}}).changed_from_outside);
}

TEST_CASE("a setting of the command line wins over [change] and over the file") {
    const Scenario scenario = sample("idle", {{"disc.stages[0].stiffness", "2 N m/deg"},
                                              {"disc.stages[1].springs", "8"},
                                              {"conditions.gearbox_oil", "-10 degC"},
                                              {"disc.friction_grip", "60"},
                                              {"body.driven_load_share", "55 %"},
                                              {"vehicle.class", "light van"},
                                              {"engine.firing_order", "[1, 2, 4, 3]"}});
    CHECK(scenario.vehicle.disc.stages[0].stiffness.si() == doctest::Approx(2.0 * per_degree));
    CHECK(scenario.vehicle.disc.stages[1].springs == 8);
    CHECK(scenario.conditions.gearbox_oil.si() == doctest::Approx(263.15));
    CHECK(scenario.vehicle.disc.friction_grip.si() == 60.0);
    CHECK(scenario.vehicle.body.driven_load_share.si() == doctest::Approx(0.55));
    CHECK(scenario.vehicle.vehicle_class == "light van");
    CHECK(scenario.vehicle.engine.firing_order == std::vector<int>{1, 2, 4, 3});
    CHECK(scenario.provenance.at("disc.stages[0].stiffness") == "--set");
}

TEST_CASE("a whole part is replaced before a value inside it, whatever the order given") {
    for (const bool part_first : {true, false}) {
        Changes changes{{"disc", "one_stage"}, {"disc.stages[0].hysteresis", "9 N m"}};
        if (!part_first) std::swap(changes[0], changes[1]);
        const Scenario scenario = sample("tip_in", changes);
        CHECK(scenario.vehicle.disc.title == "Sample disc, one stage");
        CHECK(scenario.vehicle.disc.stages[0].hysteresis.si() == 9.0);
    }
    CHECK(sample("tip_in", {{"gearbox.oil", "thick"}}).vehicle.gearbox.oil.title ==
          "Sample oil, thick");
    CHECK(sample("tip_in", {{"vehicle", "small_car"}, {"body.mass", "1.3 t"}})
              .vehicle.body.mass.si() == doctest::Approx(1300.0));
}

TEST_CASE("of two settings of one key the later holds, and only it is recorded") {
    const Scenario scenario = sample("idle", {{"body.mass", "1300 kg"}, {"body.mass", "1400 kg"}});
    CHECK(scenario.vehicle.body.mass.si() == 1400.0);
    const Changes expected{{"disc.stages[0].stiffness", "1.2 N m/deg"},
                           {"gearbox.oil", "thick"},
                           {"body.mass", "1400 kg"}};
    CHECK(scenario.changes == expected);
}

TEST_CASE("a change that a setting overrides is not recorded") {
    const Scenario scenario = sample("idle", {{"disc", "one_stage"}});
    const Changes expected{{"gearbox.oil", "thick"}, {"disc", "one_stage"}};
    CHECK(scenario.changes == expected);
    CHECK(scenario.vehicle.disc.stages.size() == 1);
}

TEST_CASE("a setting can fill in what the scenario leaves out") {
    ScratchFolder folder;
    const auto file = folder.write("bare.toml", "title = \"Bare\"\n[manoeuvre]\nkind = \"idle\"\n");
    const Scenario scenario = read_scenario(file, with({{"vehicle", "small_car"},
                                                        {"manoeuvre.pedal", "down"},
                                                        {"recording.step", "100 us"}}));
    CHECK(scenario.vehicle.title == "Sample car");
    CHECK(std::get<Idle>(scenario.manoeuvre).pedal == "down");
    CHECK(scenario.recording.step.si() == doctest::Approx(1e-4));
}

TEST_CASE("the kind of manoeuvre can be set together with its keys") {
    const Scenario scenario = sample("idle", {{"manoeuvre.gear", "1"},
                                              {"manoeuvre.speed", "1200 rpm"},
                                              {"manoeuvre.from", "0 N m"},
                                              {"manoeuvre.to", "90 N m"},
                                              {"manoeuvre.kind", "tip in"}});
    CHECK(std::get<TipIn>(scenario.manoeuvre).gear == "1");
}

TEST_CASE("a number can be multiplied, whatever it is at that point, in every entry of a list") {
    const Scenario plain = sample("tip_in");
    const Scenario half = sample("tip_in", {{"disc.stages[0].stiffness", "times 0.5"}});
    CHECK(half.vehicle.disc.stages[0].stiffness.si() ==
          doctest::Approx(0.5 * plain.vehicle.disc.stages[0].stiffness.si()).epsilon(1e-12));
    const Scenario twice = sample("tip_in", {{"disc.stages[0].stiffness", "4 N m/deg"},
                                             {"disc.stages[0].stiffness", "times 0.5"},
                                             {"disc.stages[0].stiffness", "times 3"}});
    CHECK(twice.vehicle.disc.stages[0].stiffness.si() ==
          doctest::Approx(6.0 * per_degree).epsilon(1e-12));
    CHECK(twice.changes.size() == 3);
    const Scenario all = sample("tip_in", {{"gearbox.gears[*].backlash", "times 2"}});
    const auto& gears = all.vehicle.gearbox.gears;
    REQUIRE(gears.size() > 1);
    for (std::size_t i = 0; i < gears.size(); ++i) {
        CHECK(gears[i].backlash.si() ==
              doctest::Approx(2.0 * plain.vehicle.gearbox.gears[i].backlash.si()).epsilon(1e-12));
    }
}

TEST_CASE("what cannot be multiplied is refused") {
    CHECK(refused("tip_in", {{"disc.stages[0].stiffness", "times"}}).size() == 1);
    CHECK(refused("tip_in", {{"disc.stages[0].stiffness", "times 2 N m"}})
              .front()
              .expected.find("times 0.5") != std::string::npos);
    CHECK(
        refused("tip_in", {{"engine.top_speed", "times 2"}}).front().mend.find("give the value") !=
        std::string::npos);
    CHECK(refused("tip_in", {{"disc.stages[0].stiffness", "times nan"}}).size() == 1);
    CHECK(refused("tip_in", {{"disc.stages[*]", "times 2"}}).size() >= 1);
}

TEST_CASE("every file that was read is recorded with its digest") {
    const Scenario scenario = sample("idle");
    std::set<std::string> names;
    for (const auto& [file, digest] : scenario.inputs) {
        CAPTURE(file);
        CHECK(names.insert(file).second);
        CHECK(digest == sha256_hex_of_file(file));
    }
    const auto has = [&](const std::string& end) {
        return std::ranges::any_of(names, [&](const auto& name) { return ends_with(name, end); });
    };
    CHECK(has("scenarios/idle.toml"));
    CHECK(has("models/vehicles/small_car.toml"));
    CHECK(has("models/oils/thick.toml"));
    CHECK(has("models/tyres/small.toml"));
}

TEST_CASE("provenance tells file and line, [change], --set and defaults apart") {
    const Scenario scenario = sample("idle", {{"body.mass", "1300 kg"}});
    const auto& from = scenario.provenance;
    CHECK(ends_with(from.at("disc.stages[1].stiffness"), "models/discs/two_stage.toml:16"));
    CHECK(from.at("disc.stages[0].stiffness").starts_with("[change] "));
    CHECK(ends_with(from.at("disc.stages[0].stiffness"), "scenarios/idle.toml:13"));
    CHECK(from.at("body.mass") == "--set");
    CHECK(from.at("disc.damping") == "built-in default");
    CHECK(ends_with(from.at("title"), "scenarios/idle.toml:1"));
    CHECK(ends_with(from.at("vehicle.title"), "models/vehicles/small_car.toml:1"));
    CHECK(ends_with(from.at("conditions.gearbox_oil"), "scenarios/idle.toml:10"));
}

TEST_CASE("findings about settings name --set and the key") {
    const auto check = [](const std::string& key, const std::string& value,
                          const std::string& found, const std::string& mend = "") {
        CAPTURE(key);
        const auto findings = refused("idle", {{key, value}});
        REQUIRE_FALSE(findings.empty());
        CHECK(findings[0].place.file == "--set");
        CHECK(findings[0].place.line == 0);
        CHECK(findings[0].found.find(found) != std::string::npos);
        CHECK(findings[0].mend.find(mend) != std::string::npos);
    };
    check("body.mass", "1300", "without a unit");
    check("body.mass", "heavy", "does not begin with a number");
    check("body.mess", "1300 kg", "unknown key \"mess\"", "\"mass\"");
    check("disc", "two_stages", "there is no file", "\"two_stage\"");
    check("disc.stages[7].stiffness", "1 N m/deg", "the index 7");
    check("disc.stages[1].drive_end", "2 deg", "but stages[0] ends at 6 deg");
    check("disc.stages[1].springs", "six", "\"six\"");
    check("engine.firing_order", "[1, 2", "[1, 2");
    check("expect.speed_fluctuation.within", "[\"9 rpm\", \"2 rpm\"]", "\"9 rpm\" to \"2 rpm\"",
          "Swap");
    check("", "5", "no key path");
    check("=", "5", "unknown key");
}

TEST_CASE("all findings come at once, sorted by place") {
    ScratchFolder folder;
    const auto file = folder.write("bad.toml",
                                   "titel = \"x\"\n"
                                   "vehicle = \"small_car\"\n"
                                   "[manoeuvre]\n"
                                   "kind = \"idle\"\n"
                                   "length = 5\n"
                                   "settle = \"1 deg\"\n"
                                   "[conditions]\n"
                                   "grade = \"9\"\n");
    const auto findings = findings_of([&] { (void)read_scenario(file, with()); });
    REQUIRE(findings.size() == 5);
    for (std::size_t i = 1; i < findings.size(); ++i) {
        CHECK(findings[i - 1].place.line <= findings[i].place.line);
    }
    CHECK(findings[4].key == "conditions.grade");
    CHECK(findings[4].place.line == 8);
}

TEST_CASE("the caret stands under the fault inside the text") {
    ScratchFolder folder;
    const auto file = folder.write("bad.toml",
                                   "title = \"x\"\nvehicle = \"small_car\"\n[manoeuvre]\n"
                                   "kind = \"idle\"\nlength = \"2 sec\"  # seconds\n");
    const auto findings = findings_of([&] { (void)read_scenario(file, with()); });
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].place.quote == "length = \"2 sec\"  # seconds");
    CHECK(findings[0].place.column == 13);
    CHECK(to_text(findings[0]).find("| length = \"2 sec\"  # seconds\n       |             ^") !=
          std::string::npos);
}

TEST_CASE("a measure's name and unit are checked only if the measures are given") {
    ReadOptions options = with();
    const auto file = samples() / "scenarios" / "idle.toml";
    CHECK_NOTHROW((void)read_scenario(file, options));
    options.measures = {{"speed_fluctuation", "rad/s"}};
    CHECK_NOTHROW((void)read_scenario(file, options));
    options.measures = {{"speed_fluctuation", "rpm"}};
    CHECK_NOTHROW((void)read_scenario(file, options));
    options.measures = {{"speed_fluctuation", "N.m"}};
    CHECK(findings_of([&] { (void)read_scenario(file, options); }).size() == 1);
    options.measures = {{"impact_rate", "1/s"}};
    CHECK(findings_of([&] { (void)read_scenario(file, options); }).size() == 1);
}

TEST_CASE("vehicles and discs read alone, with settings that may or may not name them") {
    const auto models = samples() / "models";
    const Vehicle vehicle =
        read_vehicle(models / "vehicles" / "small_car.toml",
                     with({{"disc", "one_stage"}, {"vehicle.body.mass", "2 t"}}));
    CHECK(vehicle.disc.title == "Sample disc, one stage");
    CHECK(vehicle.body.mass.si() == 2000.0);
    const Disc disc =
        read_disc(models / "discs" / "two_stage.toml",
                  with({{"stages[0].hysteresis", "1 N m"}, {"disc.damping", "0.1 N m s/rad"}}));
    CHECK(disc.stages[0].hysteresis.si() == 1.0);
    CHECK(disc.damping.si() == doctest::Approx(0.1));
    const auto findings = findings_of([&] {
        (void)read_disc(models / "discs" / "two_stage.toml", with({{"staiges", "5"}}));
    });
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].mend.find("stages") != std::string::npos);
}

TEST_CASE("a rule broken inside a part read alone points at its key") {
    ScratchFolder folder;
    const auto file =
        folder.write("disc.toml",
                     "facing_inertia = \"0.004 kg m2\"\nhub_inertia = \"0.001 kg m2\"\n"
                     "stop_stiffness = \"10 N m/deg\"\n[[stages]]\nstiffness = \"20 N m/deg\"\n"
                     "drive_end = \"16 deg\"\ncoast_end = \"16 deg\"\nhysteresis = \"16 N m\"\n");
    const auto findings = findings_of([&] { (void)read_disc(file, with()); });
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].key == "disc.stop_stiffness");
    CHECK(findings[0].place.line == 3);
}

TEST_CASE("a byte order mark of UTF-8 and Windows line ends do no harm") {
    ScratchFolder folder;
    const auto file = folder.write("windows.toml",
                                   "\xEF\xBB\xBFtitle = \"x\"\r\nvehicle = \"small_car\"\r\n"
                                   "[manoeuvre]\r\nkind = \"idle\"\r\nlength = 5\r\n");
    const auto findings = findings_of([&] { (void)read_scenario(file, with()); });
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].place.line == 5);
    CHECK(findings[0].place.quote == "length = 5");
}
