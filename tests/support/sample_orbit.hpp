// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/orbit_record.hpp"

namespace damper::sample {

/// Three motions, a fold, a gap, a jump, an exact run that ended early, names that mean harm.
inline OrbitRecord orbit() {
    OrbitRecord record;
    record.identity.title = "Orbit <b>&</b> 漢字";
    record.identity.scenario = "sample";
    record.curve = "pull";
    record.gear = "3";
    record.load = 1.0;
    record.loose_gears = "held";
    record.from = 100.0;
    record.to = 400.0;
    record.firing_order = 2.0;
    record.orders = {2.0, 4.0};
    record.signals = {{"flywheel speed", "rad/s"},
                      {"gearbox input speed", "rad/s"},
                      {"gearbox input acceleration", "rad/s2"},
                      {"disc torque", "N.m"}};
    record.gears = {"<script>1</script>"};
    for (const double speed : {400.0, 200.0, 100.0}) {
        OrbitPoint point;
        point.parameter = point.engine_speed = speed;
        point.judged = speed != 200.0;
        point.stable = speed == 400.0;
        point.multiplier = 0.5;
        point.is_fold = speed == 200.0;
        if (speed == 100.0) {
            point.method = OrbitMethod::shooting;
            point.periods = 2;
        }
        point.amplitude = {{1.0, 0.5}, {2.0, 0.25}, {speed, 30.0}, {4.0, 5.0}};
        point.swing = {2.0, 4.0, 800.0, 9.0};
        point.rattle_ratio = {1.5};
        record.points.push_back(point);
    }
    record.folds = {200.0};
    record.jumps = {{150.0, 200.0}};
    record.gaps = {{210.0, 390.0, "it <i>broke</i> off"}};
    record.unsettled = {{300.0, 300.0, 7, 0.38, 0.5, false}};
    OrbitCheck check;
    check.parameter = check.engine_speed = 100.0;
    check.trouble = "ended";
    record.checks = {check};
    return record;
}

}  // namespace damper::sample
