// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/response_record.hpp"

namespace damper::sample {

/// Two inertias, a curve with a top, a stage whose name has a slash, a swing that is met.
inline ResponseRecord response() {
    ResponseRecord record;
    record.identity.scenario = "car";
    record.identity.title = "A car";
    record.identity.manoeuvre = "response";
    record.gear = "neutral";
    record.stage = "idle";
    record.from = "engine torque";
    record.friction = "slips";
    record.speed = 83.0;
    record.firing_frequency = 26.5;
    record.inertias = {{"engine", 0.17}, {"input shaft", 0.006}};
    record.elements = {{"disc", 30.0, 0.05}};
    record.rows = {{0, 0, 1.0}, {0, 1, -1.0}};
    record.frequency = {1.0, 10.0, 100.0};
    ResponseCurve curve;
    curve.name = "flywheel_speed";
    curve.label = "speed of the flywheel";
    curve.units = "(rad/s)/(N.m)";
    curve.magnitude = {0.9, 0.5, 0.01};
    curve.phase = {-1.5, -1.6, -1.57};
    curve.tops = {{10.0, 0.5, 0.03}};
    record.curves = {curve};
    StageIsolation stage;
    stage.stage = "idle/soft";  // a slash would open a group
    stage.side = "drive";
    stage.slips = {1.0, 3.0, 0.1};
    stage.sticks = {1.0, 1.1, 2.0};
    record.stages = {stage};
    EquivalentRow row;
    row.frequency = 1.0;
    row.twist = 0.01;
    record.equivalent = {row, row, row};
    record.equivalent[1].frequency = 10.0;
    record.equivalent[2].frequency = 100.0;
    record.remarks = {"mind this"};
    return record;
}

}  // namespace damper::sample
