// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <cmath>
#include <limits>

namespace damper::testing {

inline RunIdentity rich_identity() {
    return {.program_version = "0.1.0",
            .command_line = "damper run \"idle ä.toml\" --set a=1",
            .scenario = "rich",
            .title = "Größe, 漢字 and <b>markup</b>",
            .origin = "invented for this project",
            .vehicle = "a car",
            .vehicle_class = "car",
            .disc = "a disc",
            .manoeuvre = "idle",
            .conditions = {{"oil", "80 degC"}, {"speed", "820 rpm"}, {"empty", ""}},
            .changes = {{"disc.stages[0].stiffness", "1.2 N m/deg"}},
            .inputs = {{"a.toml", std::string(64, '0')}, {"b.toml", std::string(64, 'f')}},
            .causes = {{"disc.stages[0].stiffness", "idle_spring_lost"}},
            .created = "2024-06-11T12:00:00Z",
            .host = "bench-7"};
}

inline ModelTable rich_model() {
    using M = ModelTable;
    const M::Guard guard{.offset = 1.0,
                         .twist = -2.0,
                         .rate = 3.0,
                         .memory = 4.0,
                         .next = 1,
                         .resets = true,
                         .reset_offset = 5.0,
                         .reset_twist = 6.0,
                         .reset_memory = 7.0};
    const M::Guard other{.offset = 0.5,
                         .twist = 0.25,
                         .rate = 0.0,
                         .memory = -1.0,
                         .next = 0,
                         .resets = false,
                         .reset_offset = 0.0,
                         .reset_twist = 0.0,
                         .reset_memory = 1.0};
    const M::Mode stick{.label = "stick",
                        .spring = 100.0,
                        .rest = 0.01,
                        .memory_weight = 1.0,
                        .energy_offset = 0.125,
                        .lost = 2.0,
                        .lost_rate = 0.5,
                        .guards = {guard, other}};
    const M::Mode slip{.label = "slip",
                       .spring = 0.0,
                       .rest = 0.0,
                       .memory_weight = 0.0,
                       .energy_offset = 0.0,
                       .lost = 6.0,
                       .lost_rate = 0.0,
                       .guards = {guard}};
    const M::Mode hold{.label = "hold",
                       .spring = 40.0,
                       .rest = 0.0,
                       .memory_weight = 0.0,
                       .energy_offset = 0.0,
                       .lost = 0.0,
                       .lost_rate = 0.0,
                       .guards = {}};
    M model;
    model.inertias = {{"flywheel", 0.14, 85.9}, {"input shaft", 0.0025, 85.9}, {"body", 1.5, 0.0}};
    model.elements = {{.name = "disc",
                       .kind = "disc",
                       .row = {{0, 1.0}, {1, -1.0}},
                       .damping = 0.02,
                       .parts = {{"stage 1 spring", "spring", 0, {hold, slip}},
                                 {"stage 1 slider", "slider", 1, {stick, slip}},
                                 {"no modes", "viscous", 2, {}}},
                       .smooth = {}},
                      {.name = "road load",
                       .kind = "road load",
                       .row = {{2, 1.0}},
                       .damping = 0.0,
                       .parts = {},
                       .smooth = {{"constant", 12.0}, {"square", 0.4}}},
                      {.name = "shaft",
                       .kind = "shaft",
                       .row = {{1, 3.5}, {2, -1.0}},
                       .damping = 5.0,
                       .parts = {{"spring", "spring", 0, {slip, stick}}},
                       .smooth = {}}};
    model.inputs = {{"engine",
                     "crank harmonics",
                     0,
                     {{"mean", 20.0}},
                     {{"order", {2.0, 4.0, 6.0}}, {"amplitude", {50.0, 12.0}}, {"none", {}}}},
                    {"brake", "constant", 2, {{"torque", -3.0}, {"from", 0.5}}, {}}};
    model.gear_path = {{"gear 3", 1.43}, {"final drive", 3.9}};
    return model;
}

inline SignalSet rich_signals(std::size_t samples) {
    SignalSet set;
    Signal speed{"flywheel_speed", "rad/s", "Flywheel speed", {}};
    Signal twist{"disc_twist", "rad", "Twist of the disc ä", {}};
    Signal bare{"bare", "", "", {}};
    for (std::size_t i = 0; i < samples; ++i) {
        const double t = 1e-3 * static_cast<double>(i);
        set.time.push_back(t);
        speed.values.push_back(85.9 + std::sin(200.0 * t));
        twist.values.push_back(0.02 * std::cos(33.0 * t));
        bare.values.push_back(static_cast<double>(i % 7));
    }
    // Not in alphabetical order: the order is to be kept.
    set.signals = {speed, twist, bare};
    return set;
}

inline Verdict rich_verdict() {
    Verdict verdict{.grade = Grade::bad,
                    .headline = "Rattles at idle.",
                    .reasons = {"stage 1 is too stiff", "", "drag is low"},
                    .judgements = {},
                    .bands = {},
                    .cautions = {"Let it cool first."}};
    verdict.judgements = {
        {"impact_energy_rate", "W", 0.3, 0.01, 0.1, Grade::bad, -29.0, "practice", "It rattles."},
        {"speed_swing", "rad/s", 4.0, 5.0, 8.0, Grade::watch, 0.2, "us", "Near the limit."}};
    verdict.bands = {{"speed_swing", "rad/s", 3.0, 6.0, 4.0, true, "bench"},
                     {"impact_energy_rate", "W", 0.0, 0.1, 0.3, false, ""}};
    return verdict;
}

/// A record with something in every field. `samples` sets its size.
inline RunRecord rich_record(std::size_t samples = 500) {
    RunRecord record;
    record.identity = rich_identity();
    record.model = rich_model();
    record.signals = rich_signals(samples);
    record.events.elements = {"gear 1 loose", "disc stage 1"};
    record.events.modes = {"free", "drive", "coast"};
    for (int i = 0; i < 100; ++i) {
        record.events.impacts.push_back({0.01 * i, i % 2, i % 2 == 0 ? 1 : -1, 0.5 + i, 1e-3 * i,
                                         2.0 + i, 1e-5 * i, 2e-4, 0.9 * i});
        record.events.changes.push_back({0.01 * i, 1, i % 3, (i + 1) % 3});
    }
    record.spectra = {{"input_shaft_acceleration", "rad/s2", {0.5, 1.0, 2.0}, {1.0, 2.0, 300.0}},
                      {"flywheel_acceleration", "rad/s2", {0.5, 1.0}, {0.1, 0.2}}};
    record.disc_loop = {{-0.1, 0.0, 0.1},
                        {-20.0, 1.0, 25.0},
                        {-22.0, -1.0, 20.0},
                        {{"drive stop", 0.1, 22.5}, {"coast stop", -0.1, -21.0}}};
    record.flywheel_loop = {{-0.8, 0.8}, {-190.0, 260.0}, {-200.0, 255.0}, {{"free", 0.1, 0.0}}};
    record.stage_use = {{"stage 1", 0.9, 12.0}, {"stage 2", 0.1, 3.0}};
    record.gear_impacts = {{"gear 1 loose", 54.0, 0.3, 1e-3, 0.4, 0.9, 1.7}};
    record.measures = {
        {"speed_swing", "rad/s", "half of top minus bottom", Better::less, 4.0},
        {"impact_energy_rate", "W", "energy of impacts over time", Better::less, 0.3,
         Certainty{.half_width = 0.02, .confidence = 0.95, .batches = 21, .cycles_per_batch = 4}},
        {"comfort", "1", "made up", Better::more, std::numeric_limits<double>::quiet_NaN()},
        {"firing", "", "", Better::neither, -std::numeric_limits<double>::infinity()}};
    record.energy.entries = {
        {"engine", 120.0, 0.0, 0.0}, {"disc", 0.0, 80.0, 1.0}, {"inertias", 0.0, 0.0, 38.0}};
    record.solver = {.method = "exact: piecewise linear",
                     .tolerance = 1e-9,
                     .end_time = 0.5,
                     .steps = 4'000'000'000,
                     .rejected = 17,
                     .evaluations = 5,
                     .mode_changes = 100,
                     .smallest_step = 1e-12,
                     .complete = true,
                     .warnings = {"a warning", "another"},
                     .start = {.asked = "periodic",
                               .periodic = true,
                               .cycles = 0.25,
                               .period = 0.04,
                               .multiplier = 0.99,
                               .next_multiplier = 0.3,
                               .mean_speed = true,
                               .edge = "fold",
                               .why_not = "ä",
                               .cycles_run = 9},
                     .stop = {.reason = "longest",
                              .share = 0.02,
                              .share_reached = std::numeric_limits<double>::infinity(),
                              .longest = 60.0,
                              .cycles = 400}};
    record.verdict = rich_verdict();
    record.measured_from = 0.125;
    return record;
}

}  // namespace damper::testing
