// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/modes_record.hpp"

#include <numbers>
#include <string>

namespace damper::sample {

/// A record of natural modes with two gears, names that mean harm, a mode that does not swing and
/// one without a name.
inline ModesRecord modes() {
    ModesRecord record;
    record.identity.title = "Gears <b>&</b> \"quotes\" 漢字";
    record.identity.scenario = "sample";
    record.identity.vehicle = "A vehicle";
    record.identity.disc = "A disc";
    record.identity.manoeuvre = "modes";
    record.identity.program_version = "1.2.3";
    record.identity.command_line = "damper modes sample";
    record.identity.conditions = {{"gearbox oil", "80 degC"}};
    record.identity.changes = {{"body.mass", "1500 kg"}};
    record.identity.inputs = {{"a.toml", std::string(64, 'a')}};
    record.friction = "slips";
    record.lowest_speed = 80.0;
    record.highest_speed = 600.0;
    record.firing_order = 2.0;
    record.orders = {{0.5, "0.5"}, {1.0, "1"}, {2.0, "firing"}, {4.0, "2 × firing"}};
    for (const char* name : {"neutral", "a/b"}) {
        GearModes gear;
        gear.gear = name;
        gear.ratio = gear.gear == "neutral" ? 0.0 : 7.5;
        gear.engine_speed = 200.0;
        gear.engine_torque = 100.0;
        gear.disc_torque = 90.0;
        gear.disc_stiffness = 950.0;
        gear.disc_stage = "main";
        gear.rigid_bodies = 1;
        gear.inertias = {
            {"engine", 0.17, 1.0}, {"wheel left", 1.0, 0.13}, {"wheel right", 1.0, 0.13}};
        gear.elements = {{"disc", 950.0, 0.1, {1.0, -0.5, -0.5}},
                         {"half shaft left", 5000.0, 30.0, {0.0, 1.0, -1.0}}};
        const auto mode = [](const std::string& own, double frequency, double damped) {
            ModeRow row;
            row.name = own;
            row.frequency = frequency;
            row.damped_frequency = damped;
            row.damping_ratio = damped > 0.0 ? 0.12 : 1.0;
            row.likeness = damped > 0.0 ? 0.98 : 0.0;
            row.gap = 0.5;
            row.modal_inertia = 0.4;
            row.shape = {1.0, -0.3, 0.2};
            row.shape_real = {1.0, -0.29, 0.19};
            row.shape_imaginary = {0.0, 0.01, -0.02};
            row.kinetic_share = {0.7, 0.2, 0.1};
            row.strain_share = {0.4, 0.6};
            row.damping_share = {0.05, 0.07};
            row.change_by_inertia = {-0.35 * frequency, -0.1 * frequency, -0.05 * frequency};
            row.change_by_stiffness = {0.2 * frequency, 0.3 * frequency};
            return row;
        };
        gear.modes = {mode("shuffle", 4.0, 3.97), mode("", 30.0, 0.0),
                      mode("teeth", 5000.0, 4900.0)};
        gear.influences = {{{"half shaft stiffness", 0.15}, {"engine inertia", -0.2}}, {}, {}};
        record.gears.push_back(gear);
    }
    SlippingModes slipping;
    slipping.gear = "1";
    slipping.clamp_share = 0.25;
    slipping.clamp = 1500.0;
    slipping.slip_speed = 1.0;
    slipping.torque = 90.0;
    slipping.gradient = -0.006;
    slipping.inertias = {"engine", "<b>disc</b>"};
    SlippingRow row;
    row.name = "judder";
    row.frequency = 8.5;
    row.growth = 0.7;
    row.flat_growth = -0.4;
    row.damping_ratio = -0.0131;
    row.felt = 1.0;
    row.shape_real = {0.1, 1.0};
    row.shape_imaginary = {0.05, 0.0};
    row.kinetic_share = {0.2, 0.8};
    slipping.modes = {row};
    record.slipping = {slipping};
    return record;
}

}  // namespace damper::sample
