// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <cmath>
#include <numbers>
#include <string>

namespace damper::sample {

inline constexpr double pi = std::numbers::pi;
inline constexpr double degree = pi / 180.0;

/// Torque of an invented two-stage disc, without friction [N m]; twist in rad.
inline double skeleton(double twist) {
    const double d = twist / degree;
    if (d > 18.0) return 9.0 + 13.0 * 20.0 + 400.0 * (d - 18.0);
    if (d > 5.0) return 9.0 + 20.0 * (d - 5.0);
    if (d > -4.0) return 1.8 * d;
    if (d > -10.0) return -7.2 + 18.0 * (d + 4.0);
    return -7.2 - 6.0 * 18.0 + 400.0 * (d + 10.0);
}

inline DiscLoop disc_loop() {
    DiscLoop loop;
    for (double d = -10.2; d <= 18.25; d += 0.05) {
        const double friction = std::abs(d) < 4.0 ? 0.6 : 7.0;
        loop.twist.push_back(d * degree);
        loop.upward.push_back(skeleton(d * degree) + friction);
        loop.downward.push_back(skeleton(d * degree) - friction);
    }
    loop.corners = {{"coast stop", -10.0 * degree, skeleton(-10.0 * degree)},
                    {"stage 1 coast end", -4.0 * degree, skeleton(-4.0 * degree)},
                    {"stage 1 drive end", 5.0 * degree, skeleton(5.0 * degree)},
                    {"drive stop", 18.0 * degree, skeleton(18.0 * degree)}};
    return loop;
}

inline RunIdentity identity() {
    return {
        .program_version = "0.1.0",
        .command_line = "damper run scenarios/car_idle_hot.toml --set engine.idle_speed='750 rpm'",
        .scenario = "car_idle_hot",
        .title = "Idle in neutral, gearbox oil hot",
        .origin = "invented for this project",
        .vehicle = "Example car, 1.6 l, four cylinders",
        .vehicle_class = "car",
        .disc = "Example disc 215 mm with idle stage",
        .manoeuvre = "idle",
        .conditions = {{"Gearbox oil", "90 degC"}, {"Clutch pedal", "up"}},
        .changes = {{"engine.idle_speed", "750 rpm"}},
        .inputs = {{"scenarios/car_idle_hot.toml", std::string(64, 'a')},
                   {"models/discs/example_car_disc.toml", std::string(64, 'b')}},
        .created = "2025-01-31T12:00:00Z",
        .host = "bench"};
}

inline ModelTable model() {
    ModelTable model;
    model.inertias = {
        {"flywheel", 0.14, 78.5}, {"hub", 0.0036, 78.5}, {"gear 3 loose", 0.0009, 61.2}};
    ModelTable::Part spring{.name = "stage 1", .kind = "spring", .cell = 0, .modes = {}};
    spring.modes.push_back({.label = "working", .spring = 1.8 / degree, .guards = {}});
    ModelTable::Part slider{.name = "stage 1 friction", .kind = "slider", .cell = 0, .modes = {}};
    slider.modes = {{.label = "stick", .spring = 3000.0, .guards = {}},
                    {.label = "slip", .lost = 0.6, .guards = {}}};
    model.elements.push_back({.name = "disc",
                              .kind = "disc",
                              .row = {{0, 1.0}, {1, -1.0}},
                              .damping = 0.02,
                              .parts = {spring, slider},
                              .smooth = {}});
    model.elements.push_back({.name = "gear 3 loose",
                              .kind = "lash",
                              .row = {{1, 0.78}, {2, -1.0}},
                              .damping = 0.0,
                              .parts = {},
                              .smooth = {}});
    model.inputs.push_back({.name = "engine torque",
                            .kind = "crank harmonics",
                            .inertia = 0,
                            .parameters = {{"mean", 6.5}, {"firing_order", 2.0}},
                            .tables = {}});
    model.gear_path = {{"gear 3", 1.29}};
    return model;
}

inline Signal signal(std::string name, std::string units, std::string long_name) {
    return {std::move(name), std::move(units), std::move(long_name), {}};
}

/// Idle: firing order 2 and half orders on the flywheel, a third of it behind the disc.
inline void fill_idle_signals(SignalSet& set) {
    const double speed = 750.0 * pi / 30.0;
    set.signals = {signal("flywheel_speed", "rad/s", "Flywheel speed"),
                   signal("input_shaft_speed", "rad/s", "Gearbox input shaft speed"),
                   signal("flywheel_acceleration", "rad/s2", "Flywheel acceleration"),
                   signal("input_shaft_acceleration", "rad/s2", "Gearbox input shaft acceleration"),
                   signal("disc_twist", "rad", "Twist of the disc"),
                   signal("disc_torque", "N.m", "Torque through the disc"),
                   signal("engine_torque", "N.m", "Engine torque")};
    for (int i = 0; i <= 20000; ++i) {
        const double t = 1e-4 * i;
        const double settle = 1.0 - std::exp(-t / 0.15);
        const double phase = 2.0 * speed * t;
        const double beat = std::sin(phase) + 0.25 * std::sin(0.25 * phase + 0.4);
        const double twist =
            (1.9 + 3.4 * settle * std::sin(phase - 0.3) + 0.4 * std::sin(0.25 * phase)) * degree;
        const double clack =
            180.0 * std::exp(-40.0 * (1.0 + std::cos(phase - 0.3))) * std::sin(25.0 * phase);
        set.time.push_back(t);
        const double values[] = {speed + 1.35 * settle * beat,
                                 speed + 0.5 * settle * std::sin(phase - 2.0),
                                 210.0 * settle * std::cos(phase),
                                 78.0 * settle * std::cos(phase - 2.0) + settle * clack,
                                 twist,
                                 skeleton(twist) + 0.6 * std::copysign(1.0, std::cos(phase - 0.3)),
                                 6.5 + 32.0 * beat};
        for (std::size_t k = 0; k < set.signals.size(); ++k)
            set.signals[k].values.push_back(values[k]);
    }
}

inline Verdict verdict() {
    Verdict verdict;
    verdict.grade = Grade::bad;
    verdict.headline =
        "The gearbox rattles at hot idle: the loose gears lift off their tooth faces.";
    verdict.reasons = {
        "The idle stage is used up: the disc passes its drive end 25 times a second "
        "and works against the much stiffer main stage.",
        "At 90 °C the oil holds the loose gear of 3rd back with 0.04 N m only; the "
        "swing of the input shaft asks for three times as much."};
    verdict.judgements = {
        {"impact_energy_rate", "W", 0.0062, 0.002, 0.005, Grade::bad, -2.1,
         "common practice, no source", "Tooth impacts turn this much energy into noise and heat."},
        {"input_shaft_acceleration_firing_order", "rad/s2", 78.0, 60.0, 120.0, Grade::watch, -0.3,
         "common practice, no source", "Swing of the gearbox input shaft at firing order."},
        {"firing_order_ratio", "1", 0.37, 0.5, 1.0, Grade::good, 0.26, "common practice, no source",
         "Share of the flywheel's swing that arrives at the gearbox."},
        {"stop_torque_ratio", "1", 1.45, 1.2, 1.0, Grade::good, 0.208,
         "vehicle maker's figure, entered by the user",
         "Torque at the drive stop against the engine's peak torque."}};
    verdict.bands = {
        {"speed_fluctuation_input", "rad/s", 0.0, 2.0, 1.0, true, "common practice, no source"},
        {"main_stage_share", "1", 0.0, 0.05, 0.14, false, "author's expectation"}};
    verdict.cautions = {
        "Check the oil grade and level first: thin or missing oil gives the same noise.",
        "A loose gear with worn needle bearings rattles with a sound clutch disc too."};
    return verdict;
}

inline RunRecord idle() {
    RunRecord record;
    record.identity = identity();
    record.model = model();
    fill_idle_signals(record.signals);
    record.measured_from = 0.8;
    OrderSpectrum flywheel{"flywheel_acceleration", "rad/s2", {}, {}};
    OrderSpectrum shaft{"input_shaft_acceleration", "rad/s2", {}, {}};
    for (int k = 1; k <= 16; ++k) {
        const double order = 0.5 * k;
        flywheel.order.push_back(order);
        flywheel.amplitude.push_back(k == 4 ? 210.0 : k % 4 == 0 ? 60.0 / k : 9.0 / k);
        shaft.order.push_back(order);
        shaft.amplitude.push_back(k == 4 ? 78.0 : k % 4 == 0 ? 110.0 / k : 8.0 / k);
    }
    record.spectra = {flywheel, shaft};
    record.disc_loop = disc_loop();
    record.stage_use = {
        {"stage 1", 0.86, 50.0}, {"stage 2 (drive)", 0.14, 25.0}, {"drive stop", 0.0, 0.0}};
    record.gear_impacts = {{"gear 1 loose", 12.5, 0.0004, 0.0003, 0.21, 0.6, 0.82},
                           {"gear 3 loose", 51.0, 0.0058, 0.0009, 0.74, 1.9, 3.05},
                           {"input spline", 0.0, 0.0, 0.0, 0.0, 0.0, 0.0}};
    record.measures = {{"impact_energy_rate", "W",
                        "Energy lost in tooth impacts per second, all loose "
                        "gears, over the time that is measured.",
                        Better::less, 0.0062},
                       {"input_shaft_acceleration_firing_order", "rad/s2",
                        "Amplitude (0-to-peak) of "
                        "the input shaft's angular acceleration at firing order.",
                        Better::less, 78.0},
                       {"stop_torque_ratio", "1",
                        "Torque at the drive stop over engine peak torque.", Better::more, 1.45},
                       {"third", "N.m", "A number with many digits.", Better::neither, 1.0 / 3.0}};
    record.energy.entries = {{"engine torque", 510.0, 0.0, 0.0},
                             {"disc", 0.0, 41.5, 0.12},
                             {"bearing drag", 0.0, 468.2, 0.0},
                             {"inertias", 0.0, 0.0, 0.1795}};
    record.solver = {.method = "general: Runge–Kutta 5(4) with guards",
                     .tolerance = 1e-8,
                     .end_time = 2.0,
                     .steps = 48211,
                     .rejected = 1204,
                     .evaluations = 301020,
                     .mode_changes = 918,
                     .smallest_step = 3.1e-8,
                     .complete = true,
                     .warnings = {}};
    record.verdict = verdict();
    return record;
}

/// Pedal pressed: a swinging rise of the vehicle's acceleration; fewer parts than `idle`.
inline RunRecord tip_in() {
    RunRecord record = idle();
    record.identity.title = "Pedal pressed in 2nd gear";
    record.identity.scenario = "car_tip_in";
    record.identity.manoeuvre = "tip in";
    record.identity.changes.clear();
    record.spectra.clear();
    record.signals = {};
    SignalSet& set = record.signals;
    set.signals = {signal("flywheel_speed", "rad/s", "Flywheel speed"),
                   signal("input_shaft_speed", "rad/s", "Gearbox input shaft speed"),
                   signal("input_shaft_acceleration", "rad/s2", "Gearbox input shaft acceleration"),
                   signal("disc_twist", "rad", "Twist of the disc"),
                   signal("disc_torque", "N.m", "Torque through the disc"),
                   signal("vehicle_acceleration", "m/s2", "Vehicle acceleration"),
                   signal("vehicle_jerk", "m/s3", "Vehicle jerk"),
                   signal("drive_shaft_torque", "N.m", "Torque of the drive shafts")};
    const double start = 0.5;
    const double swing = 2.0 * pi * 3.6;
    for (int i = 0; i <= 6000; ++i) {
        const double t = 5e-4 * i;
        const double s = std::max(t - start, 0.0);
        const double fade = std::exp(-2.2 * s);
        const double rise = 1.0 - fade * std::cos(swing * s);
        const double jerk =
            s > 0.0 ? 2.1 * fade * (2.2 * std::cos(swing * s) + swing * std::sin(swing * s)) : 0.0;
        const double twist = (1.0 + 6.5 * rise) * degree;
        set.time.push_back(t);
        const double values[] = {157.0 + 14.0 * s + 2.0 * fade * std::sin(swing * s),
                                 157.0 + 14.0 * s + 1.8 * fade * std::sin(swing * s - 0.2),
                                 14.0 + 40.0 * fade * std::cos(swing * s),
                                 twist,
                                 skeleton(twist),
                                 0.2 + 2.1 * rise,
                                 jerk,
                                 60.0 + 900.0 * rise};
        for (std::size_t k = 0; k < set.signals.size(); ++k)
            set.signals[k].values.push_back(values[k]);
    }
    record.measured_from = 0.0;
    record.stage_use = {{"stage 1", 0.2, 0.3}, {"stage 2 (drive)", 0.8, 1.0}};
    record.gear_impacts.clear();
    record.verdict.grade = Grade::watch;
    record.verdict.headline = "The car jerks when the pedal is pressed, more than is usual.";
    record.verdict.reasons = {"The pull overshoots by 70 % and swings 3.6 times a second."};
    record.verdict.judgements = {{"peak_jerk", "m/s3", 48.0, 30.0, 60.0, Grade::watch, -0.6,
                                  "common practice, no source", "Hardest change of the pull."}};
    record.verdict.bands.clear();
    return record;
}

}  // namespace damper::sample
