// SPDX-License-Identifier: MIT
// Figures of gauges, press and disc bench against closed forms by hand, and read back from tables.
#include "libdamper/studies/workshop_figures.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/studies/cover_study.hpp"
#include "libdamper/studies/match_study.hpp"
#include "libdamper/studies/measured_state.hpp"
#include "libdamper/studies/recorded_bench.hpp"
#include "libdamper/studies/run_one.hpp"

#include "tests/support/near.hpp"
#include "tests/support/scratch_folder.hpp"
#include "tests/support/shipped.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <numbers>
#include <string>

using namespace damper;
using damper::test::Changes;
using damper::test::near;
using damper::testing::ScratchFolder;

namespace {

constexpr double degree = std::numbers::pi / 180.0, rpm = std::numbers::pi / 30.0;
constexpr double reference = 200.0;  // peak torque of the car's engine

Scenario car(Changes changes = {}) {
    const std::filesystem::path root = DAMPER_SOURCE_DIR;
    Scenario out;
    out.name = "car";
    out.vehicle = read_vehicle(root / "models/vehicles/car_petrol.toml",
                               {.models = root / "models", .changes = std::move(changes)});
    return out;
}

double value(const std::vector<MeasureValue>& figures, const std::string& name) {
    const auto found = std::ranges::find(figures, name, &MeasureValue::name);
    REQUIRE_MESSAGE(found != figures.end(), "no figure " << name);
    return found->value;
}

double value(const RecordedFigures& recorded, const std::string& name) {
    const auto found = std::ranges::find(recorded.seen, name, &SeenFigure::measure);
    REQUIRE_MESSAGE(found != recorded.seen.end(), "not read: " << name);
    return found->value;
}

std::vector<MeasureValue> bench(Changes changes) {
    return disc_bench_figures(quasi_static_loop(car(std::move(changes)).vehicle.disc), reference);
}

}  // namespace

TEST_CASE("a run put into the state that gauges measured shows it to them again") {
    const std::pair<const char*, Changes> measured[] = {
        {"car_idle_hot", {{"consumers_torque", "7 N m"}, {"engine_idle_speed", "640 rpm"}}},
        {"car_creep_1", {{"consumers_torque", "7 N m"}, {"engine_idle_speed", "640 rpm"}}},
        {"car_pull_5", {{"lowest_speed_under_load", "1111 rpm"}, {"mass_as_driven", "1600 kg"}}},
        {"car_overrun_3", {{"lowest_speed_under_load", "1111 rpm"}}}};
    for (const auto& [name, state] : measured) {
        const Scenario scenario = test::shipped_scenario(name);
        Changes changes;
        for (const auto& [measure, text] : state) {
            changes.emplace_back(key_of_state(measure, scenario), text);
        }
        const auto shown = gauge_figures(test::shipped_scenario(name, changes));
        for (const auto& [measure, text] : state) {
            const double due = text == "7 N m"      ? 7.0
                               : text == "640 rpm"  ? 640.0 * rpm
                               : text == "1111 rpm" ? 1111.0 * rpm
                                                    : 1600.0;
            CHECK_MESSAGE(value(shown, measure) == near(due, 1e-12), name << ": " << measure);
        }
    }
    // Signs stay signs, and there is no state where the manoeuvre has none.
    CHECK(key_of_state("transfer", test::shipped_scenario("car_idle_hot")).empty());
    CHECK(key_of_state("consumers_torque", test::shipped_scenario("car_tip_in_2")).empty());
}

TEST_CASE("a match finds the load and wear of a cover that were put in, and refuses what it must") {
    const std::filesystem::path root = DAMPER_SOURCE_DIR;
    const Changes truth{{"cover.load_factor", "times 0.83"}, {"facing.wear", "0.6 mm"}};
    const std::vector<MeasureValue> seen = press_figures(car(truth));
    MatchRequest request;
    request.source = {{},
                      root / "models/vehicles/car_petrol.toml",
                      "car_petrol",
                      {.models = root / "models", .changes = {}},
                      {"press"}};
    request.run = "damper cover car_petrol";
    request.free = {"cover.load_factor=times 0.5..1.5", "facing.wear=0 mm..1.2 mm"};
    request.threads = 1;
    for (const char* measure : {"clamp_load_new", "facing_wear"}) {
        request.given.push_back({measure, "", value(seen, measure), "2 %", "the test"});
    }
    const MatchRecord found = match_model(request);
    REQUIRE(found.values.size() == 2);
    CHECK(found.values[0].value == doctest::Approx(0.83).epsilon(1e-3));
    CHECK(found.values[1].value == doctest::Approx(0.6e-3).epsilon(1e-3));
    // The load of a new cover goes with the factor: two per cent of the one are those of the other,
    // 95 % lie within 1.96 of them.
    CHECK(found.values[0].high - found.values[0].value ==
          doctest::Approx(1.96 * 0.02 * 0.83).epsilon(0.05));
    CHECK(found.chi_square < 1e-3);
    MatchRequest wrong = request;
    wrong.free.clear();
    CHECK_THROWS_AS((void)match_model(wrong), InputError);
    wrong = request;
    wrong.given.pop_back();  // two values from one figure
    CHECK_THROWS_AS((void)match_model(wrong), InputError);
    wrong = request;
    wrong.free[0] = "cover.load_factor=-3..-2";  // no such vehicle
    CHECK_THROWS_AS((void)match_model(wrong), InputError);
}

TEST_CASE("gauges show what sums by hand give") {
    const auto sound = gauge_figures(car({{"disc.spline_play", "0.5 deg"}}));
    // First gear: 0.10 mm at 55 mm on the output shaft, ratio 3.55, final drive 3.90, lash 2.5 deg.
    CHECK(value(sound, "lash_at_wheel") ==
          near(2.5 * degree + (0.10 / 55.0 + 0.5 * degree / 3.55) / 3.90, 1e-12));
    CHECK(value(sound, "engine_per_road_speed") == near(3.55 * 3.90 / 0.305, 1e-12));
    CHECK(value(sound, "engine_idle_speed") == near(800.0 * rpm, 1e-12));
    CHECK(value(sound, "cranking_speed") == near(330.0 * rpm * (1.0 - 15.0 / 110.0), 1e-12));
    CHECK(value(sound, "weakest_cylinder") == doctest::Approx(1.0));
    const auto weak = gauge_figures(car({{"engine.cylinder_gains", "[1, 0.6, 1, 1]"}}));
    CHECK(value(weak, "weakest_cylinder") == near(0.6 * 4.0 / 3.6, 1e-12));
    // Twice the drag, twice the deceleration: it is the drag over the inertia that turns with it.
    Scenario warm = car();
    warm.conditions.gearbox_oil = Temperature::from_si(353.15);
    const double run_down = value(gauge_figures(warm), "input_run_down");
    Scenario thick = car({{"gearbox.shaft_drag_constant", "times 2"},
                          {"gearbox.shaft_drag_viscous", "times 2"},
                          {"gearbox.gears[*].drag_constant", "times 2"},
                          {"gearbox.gears[*].drag_viscous", "times 2"}});
    thick.conditions = warm.conditions;
    CHECK(value(gauge_figures(thick), "input_run_down") == near(2.0 * run_down, 1e-10));
    // A car without mounts in its model has no roll; one on mounts rolls by torque over stiffness.
    CHECK(std::ranges::find(sound, "engine_roll", &MeasureValue::name) == sound.end());
}

TEST_CASE("a clutch that slips shows its capacity, one that holds the engine's torque") {
    // Torque of a plate clutch by uniform wear, faces·μ·F·(D + d)/4: R. G. Budynas, J. K. Nisbett,
    // "Shigley's Mechanical Engineering Design", 8th ed. 2008, equation 16-23 (recalled).
    const Scenario weak = car({{"cover.load_factor", "0.5"}});
    const double load = value(press_figures(weak), "clamp_load_new");
    CHECK(value(held_figures(weak), "torque_held") ==
          near(2.0 * 0.28 * load * (0.228 + 0.150) / 4.0, 1e-9));
    CHECK(value(held_figures(car()), "torque_held") == near(reference, 1e-12));
    // Nothing rests on the fingers in a press, whatever the release bearing does in the vehicle.
    const Scenario preloaded = car({{"release.bearing_preload", "600 N"}});
    CHECK(value(press_figures(preloaded), "clamp_load_new") ==
          near(value(press_figures(car()), "clamp_load_new"), 1e-12));
    CHECK(value(held_figures(preloaded), "torque_held_hot") <
          value(held_figures(car()), "torque_held_hot") + 1e-9);
}

TEST_CASE("the disc bench shows stiffness, width, stops and play of a plain disc") {
    // One stage of 17 N m/deg drive, 18 coast, width 16 N m: straight lines by hand.
    const Changes plain{{"disc", "car_no_idle_stage"}};
    const auto sound = bench(plain);
    CHECK(value(sound, "disc_main_twist") == near(0.5 * reference / 17.0 * degree, 2e-3));
    CHECK(value(sound, "disc_main_width") == near(16.0, 1e-3));
    CHECK(value(sound, "disc_drive_reach") == near(1.2 * reference / 17.0 * degree, 5e-3));
    CHECK(value(sound, "disc_coast_twist") == near(0.3 * reference / 18.0 * degree, 3e-3));
    CHECK(value(sound, "disc_coast_reach") == near(0.5 * reference / 18.0 * degree, 5e-3));
    Changes worn = plain;
    worn.emplace_back("disc.spline_play", "1.5 deg");
    CHECK(value(bench(worn), "disc_play") - value(sound, "disc_play") == near(1.5 * degree, 2e-2));
    Changes broken = plain;
    broken.emplace_back("disc.stages[0].springs_broken", "1");  // of six
    CHECK(value(bench(broken), "disc_main_twist") ==
          near(value(sound, "disc_main_twist") * 6.0 / 5.0, 3e-3));
    // Torque that the loop does not reach gives no figure, not a wrong one.
    const auto far = disc_bench_figures(quasi_static_loop(car(plain).vehicle.disc), 1e6);
    CHECK(std::isnan(value(far, "disc_drive_reach")));
}

TEST_CASE("tables of the benches are read back as the figures that made them") {
    const Scenario scenario = car({{"disc.stages[1].springs_broken", "1"}});
    const DiscLoop loop = quasi_static_loop(scenario.vehicle.disc);
    const ScratchFolder folder;
    std::string text = "twist [deg];torque [N m]\n";
    for (int turn = 0; turn < 2; ++turn) {
        for (std::size_t i = 0; i < loop.twist.size(); i += 3) {
            text += fmt::format("{:.5f};{:.4f}\n", loop.twist[i] / degree, loop.upward[i]);
        }
        for (std::size_t i = loop.twist.size(); i-- > 0;) {
            if (i % 3 != 1) continue;
            text += fmt::format("{:.5f};{:.4f}\n", loop.twist[i] / degree, loop.downward[i]);
        }
    }
    const CoverRecord cover = study_cover(scenario, {});
    std::string clamp = "wear [mm];clamp load [N]\n", release = "bearing travel [mm];lift [mm]\n";
    for (const CoverWearPoint& point : cover.wear) {
        clamp += fmt::format("{:.4f};{:.2f}\n", 1e3 * point.wear, point.clamp_load);
    }
    for (const CoverReleasePoint& point : cover.release_curves.front().points) {
        release += fmt::format("{:.5f};{:.5f}\n", 1e3 * point.travel, 1e3 * point.lift);
    }
    Complaint complaint;
    complaint.recordings = {{"loop", folder.write("loop.csv", text).string()},
                            {"clamp_load", folder.write("clamp.csv", clamp).string()},
                            {"release_travel", folder.write("release.csv", release).string()}};
    // Read for the sound vehicle, as a diagnosis does.
    const RecordedFigures seen = figures_of_bench(complaint, car().vehicle, reference);
    const auto truth = disc_bench_figures(loop, reference);
    CHECK(value(seen, "disc_main_twist") == near(value(truth, "disc_main_twist"), 0.01));
    CHECK(value(seen, "disc_main_width") == near(value(truth, "disc_main_width"), 0.03));
    CHECK(value(seen, "disc_drive_reach") == near(value(truth, "disc_drive_reach"), 0.01));
    CHECK(value(seen, "clamp_load_new") == near(cover.states.front().clamp_load, 1e-3));
    CHECK(value(seen, "needed_travel") == near(cover.states.front().needed_travel, 1e-3));
    // A table that does not begin at no wear says nothing of the new cover, and that is told.
    complaint.recordings = {
        {"clamp_load",
         folder.write("late.csv", "wear [mm];clamp load [N]\n0.3;5000\n0.6;5100\n").string()}};
    const RecordedFigures late = figures_of_bench(complaint, car().vehicle, reference);
    CHECK(late.seen.empty());
    REQUIRE(late.notes.size() == 1);
    CHECK(late.notes.front().starts_with("late.csv: not used"));
}

TEST_CASE("every figure that a complaint may name by hand is one that something shows") {
    const auto known = known_workshop_figures();
    const auto has = [&](const std::string& name) {
        return std::ranges::any_of(known, [&](const auto& one) { return one.first == name; });
    };
    for (const MeasureValue& one : gauge_figures(car())) CHECK_MESSAGE(has(one.name), one.name);
    for (const BenchReach& one : disc_bench_reaches()) CHECK_MESSAGE(has(one.figure), one.figure);
    for (const char* name : {"engine_roll", "torque_rise_time", "lowest_speed_under_load",
                             "torque_held", "facing_wear", "spring_deflection"}) {
        CHECK_MESSAGE(has(name), name);
    }
}
