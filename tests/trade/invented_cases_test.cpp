// SPDX-License-Identifier: MIT
// Two invented complaints: a car whose idle stage is too short, a van whose idle stage has rusted.
// The flywheel's motion is given, as it would be measured: a heavy flywheel that one harmonic
// swings. What is asked for are directions and rankings; figures named in comments come from a
// separate, simpler calculation with one lumped loose gear (derived for this project), from which
// another implementation may differ by a fifth.
#include "tests/trade/trade.hpp"

#include <numbers>

using namespace damper;
using namespace damper::trade;

namespace {

constexpr double degree = std::numbers::pi / 180.0;
constexpr double rpm = std::numbers::pi / 30.0;

struct Stage {
    double stiffness, end, hysteresis;  ///< [N m/deg, deg, N m]
};

struct Case {
    double speed;                   ///< [rpm]
    double order, acceleration;     ///< Of the flywheel [rad/s2]
    double hub, loose;              ///< Inertias [kg m2]
    double shaft_drag, loose_drag;  ///< [N m]
    Stage main;
    std::vector<Stage> idle;  ///< None or one.
    /// Order and acceleration of what else swings the flywheel [rad/s2].
    std::vector<std::pair<double, double>> more = {};
};

DiscStage stage(const std::string& name, const Stage& s) {
    DiscStage out;
    out.name = name;
    out.stiffness = Stiffness::from_si(s.stiffness / degree);
    out.drive_end = Angle::from_si(s.end * degree);
    out.coast_end = Angle::from_si(s.end * degree);
    out.hysteresis = Torque::from_si(s.hysteresis);
    out.friction_factor = Ratio::from_si(1.0);
    return out;
}

Scenario idling(const Case& c) {
    Scenario scenario = shipped("car_idle_hot");
    const double flywheel = 50.0;  // kg m2: so heavy that the disc does not change its motion
    Vehicle& v = scenario.vehicle;
    v.engine.torque = "harmonics";
    v.engine.cylinders = static_cast<int>(2.0 * c.order);
    v.engine.inertia = Inertia::from_si(flywheel);
    v.engine.harmonics = {{.order = Ratio::from_si(c.order),
                           .amplitude = Torque::from_si(flywheel * c.acceleration),
                           .phase = Angle::from_si(0.0)}};
    for (const auto& [order, acceleration] : c.more) {
        v.engine.harmonics.push_back({.order = Ratio::from_si(order),
                                      .amplitude = Torque::from_si(flywheel * acceleration),
                                      .phase = Angle::from_si(0.0)});
    }
    v.disc.stages.clear();
    for (const Stage& s : c.idle) v.disc.stages.push_back(stage("idle", s));
    v.disc.stages.push_back(stage("main", c.main));
    v.disc.hub_inertia = Inertia::from_si(0.1 * c.hub);
    v.gearbox.input_inertia = Inertia::from_si(0.9 * c.hub);
    v.gearbox.shaft_drag_constant = Torque::from_si(c.shaft_drag);
    v.gearbox.shaft_drag_viscous = Torque::from_si(0.0);
    GearPair gear = v.gearbox.gears.front();
    gear.ratio = Ratio::from_si(1.0);
    gear.loose_inertia = Inertia::from_si(c.loose);
    gear.backlash = Length::from_si(2.5e-3 * gear.pitch_radius.si());
    gear.drag_constant = Torque::from_si(c.loose_drag);
    gear.drag_viscous = Torque::from_si(0.0);
    v.gearbox.gears = {gear};
    std::get<Idle>(scenario.manoeuvre).speed = AngularSpeed::from_si(c.speed * rpm);
    std::get<Idle>(scenario.manoeuvre).settle = Time::from_si(1.0);
    std::get<Idle>(scenario.manoeuvre).length = Time::from_si(4.0);
    return scenario;
}

struct Seen {
    double transfer, hub, beyond, energy, threshold, rate, twist_min, twist_max, peak;
};

Seen see(const Case& c) {
    const RunRecord r = run(idling(c));
    const bool staged = !c.idle.empty();
    const Seen seen{.transfer = measure(r, "transfer"),
                    .hub = measure(r, "input_shaft_acceleration_order"),
                    .beyond = staged ? measure(r, "time_beyond_first_stage") : 0.0,
                    .energy = 1e3 * measure(r, "impact_energy_rate"),
                    .threshold = measure(r, "threshold_ratio"),
                    .rate = measure(r, "impact_rate"),
                    .twist_min = measure(r, "twist_min") / degree,
                    .twist_max = measure(r, "twist_max") / degree,
                    .peak = measure(r, "input_shaft_acceleration_peak")};
    MESSAGE("transfer " << seen.transfer << ", hub " << seen.hub << " rad/s2, beyond "
                        << 100.0 * seen.beyond << " %, " << seen.energy << " mJ/s, ratio "
                        << seen.threshold << ", " << seen.rate << " impacts/s, twist "
                        << seen.twist_min << " to " << seen.twist_max << " deg, peak "
                        << seen.peak);
    return seen;
}

/// The car: three cylinders, 900 rpm, idle stage of 6 degrees.
Case car(double shaft_drag, double loose_drag, const Stage& idle = {0.35, 6.0, 0.6}) {
    return {.speed = 900.0,
            .order = 1.5,
            .acceleration = 370.0,
            .hub = 0.0045,
            .loose = 0.0012,
            .shaft_drag = shaft_drag,
            .loose_drag = loose_drag,
            .main = {14.0, 20.0, 14.0},
            .idle = {idle}};
}

constexpr double hot_shaft = 0.60, hot_loose = 0.15;    // together 0.75 N m
constexpr double cold_shaft = 2.20, cold_loose = 0.30;  // together 2.5 N m, at 5 degC

/// The van: four cylinders, 800 rpm; `hysteresis` of the idle stage, 1.5 N m when healthy.
Case van(double hysteresis) {
    return {.speed = 800.0,
            .order = 2.0,
            .acceleration = 520.0,
            .hub = 0.0095,
            .loose = 0.0025,
            .shaft_drag = 1.0,
            .loose_drag = 0.35,
            .main = {26.0, 20.0, 25.0},
            .idle = {{0.8, 7.0, hysteresis}}};
}

/// The medium truck: four cylinders, 620 rpm. Inertia and drag are such that a balanced engine
/// gives the transfer and the threshold ratio of the separate calculation, which does not state
/// them.
Case truck(const Stage& idle, double half, double first) {
    Case c{.speed = 620.0,
           .order = 2.0,
           .acceleration = 290.0,
           .hub = 0.033,
           .loose = 0.006,
           .shaft_drag = 0.8,
           .loose_drag = 0.52,
           .main = {60.0, 20.0, 60.0},
           .idle = {idle}};
    if (half > 0.0) c.more = {{0.5, half}, {1.0, first}};
    return c;
}

}  // namespace

TEST_CASE("a car whose idle stage is too short isolates hot and hammers cold") {
    const Seen hot = see(car(hot_shaft, hot_loose));     // 0.36, 135 rad/s2, ratio 1.1, 2.2 mJ/s
    const Seen cold = see(car(cold_shaft, cold_loose));  // 1.89, 701 rad/s2, 12 %, 45 mJ/s
    CHECK(hot.transfer == doctest::Approx(0.36).epsilon(0.2));
    CHECK(hot.hub == doctest::Approx(135.0).epsilon(0.2));
    CHECK(hot.beyond == 0.0);
    CHECK(cold.transfer > 1.2);
    CHECK(cold.beyond > 0.05);
    CHECK(cold.energy > 5.0 * hot.energy);
}

TEST_CASE("the cold hammering of the short stage is not cured by a higher idle speed") {
    Case faster = car(cold_shaft, cold_loose);
    faster.speed = 1050.0;
    CHECK(see(faster).transfer > 1.0);  // 1.36
}

TEST_CASE("between cold and hot the short stage touches its end and then lets go") {
    const double cold = see(car(cold_shaft, cold_loose)).transfer;
    const double middle = see(car(1.62, 0.22)).transfer;  // 12 degC: 1.22
    const double hot = see(car(hot_shaft, hot_loose)).transfer;
    CHECK(middle < cold);
    CHECK(middle > hot);
}

TEST_CASE("for the short stage width is the cure, not stiffness") {
    const Stage wide = {0.35, 11.0, 0.6};
    const Stage firmer = {0.42, 9.0, 0.6};
    const Stage firm = {0.60, 9.0, 0.6};
    const double fitted_hot = see(car(hot_shaft, hot_loose)).energy;
    for (const Stage& option : {wide, firmer, firm}) {
        CHECK(see(car(cold_shaft, cold_loose, option)).energy < 1.0);  // all 0 mJ/s
    }
    const double wide_hot = see(car(hot_shaft, hot_loose, wide)).energy;  // 2.2 mJ/s
    CHECK(wide_hot == doctest::Approx(fitted_hot).epsilon(0.05));
    CHECK(see(car(hot_shaft, hot_loose, firmer)).energy > 1.5 * wide_hot);  // 30 mJ/s
    CHECK(see(car(hot_shaft, hot_loose, firm)).energy > 1.5 * wide_hot);    // 14 mJ/s
}

TEST_CASE("a van whose idle stage has rusted rattles hot, the healthy one hardly") {
    const Seen healthy = see(van(1.5));  // 0.28, 147 rad/s2, ratio 1.05, 1.7 mJ/s
    const Seen half = see(van(5.0));     // 0.61
    const Seen stuck = see(van(8.0));    // 0.90, 469 rad/s2, ratio 3.4, 214 mJ/s, 224 impacts/s
    CHECK(healthy.transfer == doctest::Approx(0.28).epsilon(0.2));
    CHECK(half.transfer == doctest::Approx(0.61).epsilon(0.2));
    CHECK(stuck.transfer == doctest::Approx(0.90).epsilon(0.2));
    CHECK(healthy.hub == doctest::Approx(147.0).epsilon(0.2));
    CHECK(stuck.hub == doctest::Approx(469.0).epsilon(0.2));
    CHECK(stuck.energy > 30.0 * healthy.energy);
    Case faster = van(8.0);
    faster.speed = 950.0;
    CHECK(see(faster).transfer > 0.7);  // 0.87
    Case none = van(0.0);
    none.idle.clear();
    CHECK(see(none).transfer > stuck.transfer);  // 1.09
}

TEST_CASE("an uneven engine swings a sound disc far; the firing order does not show it") {
    const Stage fitted = {2.0, 5.0, 3.0};
    const Seen even = see(truck(fitted, 0.0, 0.0));      // 0.29, ratio 0.97, nearly no impacts
    const Seen uneven = see(truck(fitted, 60.0, 40.0));  // 0.30, -3.8 to +5.1 deg, 3 %, 97 mJ/s
    CHECK(even.transfer == doctest::Approx(0.29).epsilon(0.2));
    CHECK(even.threshold == doctest::Approx(0.97).epsilon(0.2));
    CHECK(even.beyond == 0.0);
    CHECK(uneven.transfer == doctest::Approx(0.30).epsilon(0.2));
    // The separate calculation does not state the phases of the half orders, on which the extremes
    // of the twist hang; how much they add is asked for, not to which degree.
    CHECK(uneven.twist_max - uneven.twist_min > 2.0 * (even.twist_max - even.twist_min));
    CHECK(uneven.peak > 2.0 * even.peak);
    CHECK(uneven.energy > 5.0 * even.energy);
    // No disc cures it: wider and softer is better, stiffer worse, an even engine best of all.
    const Seen wider = see(truck({1.6, 8.0, 3.0}, 60.0, 40.0));    // 46 mJ/s
    const Seen stiffer = see(truck({3.0, 5.0, 3.0}, 60.0, 40.0));  // 142 mJ/s
    CHECK(wider.energy < uneven.energy);
    CHECK(stiffer.energy > uneven.energy);
    CHECK(wider.energy > 5.0 * even.energy);
}
